/** Conditions and positions: `TM in timed or auto 1..6, DOOR shut`. One form everywhere. */
import { DotDot, endOf } from "./lexer.ts";
import { QuantityReader } from "./read-quantity.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type { ConditionNode, NameNode, PointNode, PositionNode, TermNode } from "./tree.ts";
import { unitNamed } from "./units.ts";
import { propertiesStarting } from "./vocabulary.ts";

const turning = new Set(["running", "turning", "runs"]);
/** Words that may follow a condition and are never a position or the start of another term. */
const behind = new Set([
  "rated",
  "else",
  "unplugged",
  "lifted",
  "guarded",
  "moves",
  "contact",
  "frame",
  "closed",
  "when",
]);

/** Words that may follow positions, besides properties; one that is nearly such a word is a slip of the finger, no position. */
const behindPositions = [...behind, "rated", "open", "while", "in", "or", "and", "of", "made", "by", "to"];

export class ConditionReader extends QuantityReader {
  /** True where a property, item or joining word of a part stands, so that a condition must be over. */
  protected conditionStops(ahead = 1): boolean {
    const word = this.word(ahead);
    if (word === "") return false;
    if (word === "or" || word === "else" || word === "rated" || word === "stays") return true;
    const next = this.peek(ahead + 1);
    for (const property of propertiesStarting(word)) {
      const words = property.word.split(" ");
      if (words.every((one, index) => this.word(ahead + index) === one)) {
        if (words.length > 1) return true;
        const slot = property.slots[0];
        if (slot?.take === "quantity" && this.isNumber(ahead + 1)) return true;
        if (!slot && word.includes("-")) return true;
        if (word === "at" && next.image.startsWith('"')) return true;
      }
    }
    return behind.has(word) && !this.is("in", ahead + 1) && word !== "closed";
  }

  /** Behind `when`, `while`, `guarded by`: clauses of terms. `own`: a lone word is a position of the part itself. */
  protected readCondition(own: boolean): ConditionNode {
    const from = this.peek().startOffset;
    const clauses: TermNode[][] = [];
    for (;;) {
      const terms = this.readTerms(own);
      if (terms.length > 0) clauses.push(terms);
      if (this.is("or") && this.is("when", 2)) {
        this.take();
        this.take();
      } else break;
    }
    if (clauses.length === 0) {
      const at = this.lastEnd();
      this.missing("the condition", "Say what must hold: `DOOR shut`, `TM in timed 3..8`, `DM running`.");
      return { from: at, to: at, clauses };
    }
    return this.node<ConditionNode>(from, { clauses });
  }

  /** Terms joined by comma (or `and`). */
  protected readTerms(own: boolean): TermNode[] {
    const terms: TermNode[] = [];
    for (;;) {
      const term = this.readTerm(own);
      if (!term) break;
      terms.push(term);
      const joined = this.is(",") || this.is("and");
      if (!joined || !this.isName(2) || this.termStopsBehindComma()) {
        if (joined && this.atEnd(2)) {
          this.take();
          this.missing("the next condition", "Go on behind the comma, or remove it.");
        }
        break;
      }
      this.take();
    }
    return terms;
  }

  private termStopsBehindComma(): boolean {
    return this.conditionStops(2) || (this.is("open", 2) && this.is("in", 3)) || this.itemFollows(2);
  }

  /** Two terminals follow: `1 to 2`. */
  private itemFollows(ahead: number): boolean {
    return this.is("to", ahead + 1);
  }

  private readTerm(own: boolean): TermNode | undefined {
    if (!this.isName() || this.conditionStops()) return undefined;
    const from = this.peek().startOffset;
    if (own && (this.is("below") || this.is("above")) && this.isName(2)) {
      const position = this.readLevel();
      return { from, to: position.to, positions: [position] };
    }
    if (own && this.isLonePosition()) {
      const positions = this.readPositions();
      return this.node<TermNode>(from, { positions });
    }
    if (own && this.is("in")) {
      this.take();
      return this.node<TermNode>(from, { positions: this.readPositions() });
    }
    const subject: PointNode | undefined = this.readPoint("the condition");
    const term: Draft<TermNode> = { from, to: this.lastEnd(), positions: [] };
    if (subject) term.subject = subject;
    this.takeIf("in") || this.takeIf("is") || this.takeIf("at");
    if ((this.is("below") || this.is("above")) && this.isName(2)) term.positions = [this.readLevel()];
    else if (this.isName() && !this.conditionStops()) term.positions = this.readPositions();
    else if (subject?.part) {
      this.missing(
        `the position of \`${subject.part.text}\``,
        `Say how it stands: \`${subject.part.text} open\`, \`${subject.part.text} in low or high\`.`,
      );
    }
    term.to = this.lastEnd();
    return term;
  }

  /** `below set`, `above mid`: one position whose name holds both words. */
  private readLevel(): PositionNode {
    const word = this.take();
    const name = this.takeName();
    const place = { from: word.startOffset, to: name.to };
    const joined: NameNode = { ...place, text: `${word.image} ${name.text}` };
    return { ...place, name: joined };
  }

  /** `stopped` alone, or `left or right`: nothing follows that would make the word a subject. */
  private isLonePosition(): boolean {
    if (this.atEnd(2) || this.is(",", 2) || this.is(";", 2) || this.is("or", 2) || this.is("and", 2)) return true;
    if (turning.has(this.word()) && (this.is("left", 2) || this.is("right", 2))) return true;
    if (this.is(".", 2) || this.is("in", 2)) return false;
    return this.conditionStops(2) || !this.isName(2) || this.itemFollows(2);
  }

  /** Positions joined by `or`; `or when` and `or` before a rating end the list. `own`: of a contact, where no other condition follows. */
  protected readPositions(own = false): PositionNode[] {
    const positions: PositionNode[] = [];
    for (;;) {
      const position = this.readPosition();
      if (!position) break;
      positions.push(position);
      if (this.takeForgottenOr(own)) continue;
      if (!this.is("or") || !this.isName(2) || this.is("when", 2)) break;
      this.take();
    }
    return positions;
  }

  /** `in low high`, `in low, high`, `in low / high`: told, and read as what it means. */
  private takeForgottenOr(own: boolean): boolean {
    const mark = own && (this.is(",") || this.is("/") || this.is("+")) ? 1 : 0;
    const at = 1 + mark;
    const word = this.word(at);
    if (word === "" || !this.sameLine(at) || this.conditionStops(at) || this.meansSomething(word)) return false;
    const next = at + 1;
    const ends = this.atEnd(next) || this.is("or", next);
    if (!ends && !(own && (this.isWord(next) || this.is(",", next) || this.is("/", next)))) return false;
    if (this.is("in", next) || this.is("to", next) || nearestNames(word, behindPositions).length > 0) return false;
    const from = this.peek().startOffset;
    if (mark > 0) this.take();
    const to = endOf(this.peek());
    this.problem({ from, to }, "missing-or", `Here \`or\` is missing before \`${word}\`.`, "Join positions by `or`.", [
      mark > 0 ? ` or ${word}` : `or ${word}`,
    ]);
    return true;
  }

  /** A word that may stand behind the positions of a contact or condition. */
  private meansSomething(word: string): boolean {
    return behindPositions.includes(word) || propertiesStarting(word).length > 0;
  }

  private readPosition(): PositionNode | undefined {
    if (!this.isName()) return undefined;
    const from = this.peek().startOffset;
    const position: Draft<PositionNode> = { from, to: from };
    if (this.isInt()) this.readSteps(position);
    else {
      let name = this.takeName();
      if (turning.has(name.text) && (this.is("left") || this.is("right"))) {
        const side = this.take();
        name = { from, to: this.lastEnd(), text: `${name.text} ${side.image}` };
      }
      position.name = name;
      if (this.isInt() && this.sameLine() && !this.unitBehindNumber()) this.readSteps(position);
    }
    position.to = this.lastEnd();
    return position;
  }

  private unitBehindNumber(): boolean {
    const next = this.word(2);
    const behindNumber = this.peek(2);
    return (
      (next !== "" && unitNamed(next) !== undefined && behindNumber.line === this.peek().line) ||
      this.is("to", 2) ||
      this.is("%", 2) ||
      this.is("/", 2)
    );
  }

  /** `3..8`, `3`. */
  private readSteps(position: Draft<PositionNode>): void {
    position.first = Number(this.take().image);
    position.last = position.first;
    const dots = this.peek().tokenType === DotDot;
    const to = this.is("to") && this.isInt(2) && !this.is("to", 3);
    if (!dots && !to) return;
    this.take();
    if (this.isInt()) position.last = Number(this.take().image);
    else this.missing("the last step", "Write both ends of the steps: `3..8`.");
    if (position.last < position.first) {
      this.problem(
        { from: position.from, to: this.lastEnd() },
        "steps-backwards",
        `The steps run from ${position.first} back to ${position.last}.`,
        "Write the smaller number first.",
        [`${position.last}..${position.first}`],
      );
    }
  }
}
