/** Reading quantities and ratings from tokens: the place decides what is a unit and what a name. */
import * as tokens from "./lexer.ts";
import { endOf, type Token } from "./lexer.ts";
import { unexpectedWord, wrongUnit } from "./messages.ts";
import { type Draft, Reader } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type { Dimension, QuantityNode, RatingNode, RatingPointNode } from "./tree.ts";
import { siValue, type Unit, unitNamed, unitSpellings } from "./units.ts";
import { dutyWords, isWordOfLanguage } from "./vocabulary.ts";

const { Int, Dec, NumName, DecUnit, Minus, PlusMinus, Slash, DotDot, Word, Percent } = tokens;
const splitNumber = /^(\d+(?:\.\d+)?)-?(.+)$/;

/** Number and unit as they were found, before the unit decides what the strokes between numbers mean. */
interface Found {
  readonly from: number;
  numbers: string[];
  strokes: boolean;
  whole?: string;
  upper?: string;
  unit?: Unit;
  unitText: string;
  unitAt?: Token;
  negative: boolean;
}

export class QuantityReader extends Reader {
  protected source = "";

  /** A number stands here (a sign before it included). */
  protected isNumber(ahead = 1): boolean {
    const token = this.peek(ahead);
    const type = token.tokenType;
    if (type === Int || type === Dec || type === DecUnit) return true;
    if (type === NumName) return this.numNameUnit(token) !== undefined;
    if (type === Minus || type === PlusMinus) {
      const next = this.peek(ahead + 1);
      return next.startOffset === endOf(token) && this.isNumber(ahead + 1) && next.tokenType !== Minus;
    }
    return false;
  }

  /** The unit inside `10AWG`, or undefined when the token is a name such as `2B`. */
  private numNameUnit(token: Token): Unit | undefined {
    const unit = splitNumber.exec(token.image)?.[2];
    return unit === undefined ? undefined : unitNamed(unit);
  }

  /**
   * Reads a quantity. `expected` and `owner` give the error for a wrong unit; an empty list takes anything. With `bare`, a number
   * without unit is of the first expected dimension (`volts A to B 118`).
   */
  protected readQuantity(expected: readonly Dimension[], owner: string, bare = false): QuantityNode | undefined {
    if (!this.isNumber()) return undefined;
    const found = this.readNumbers();
    const unit = found.unit;
    const unknown = !unit && found.unitText !== "";
    const dimension: Dimension = unit?.dimension ?? (bare && expected[0] ? expected[0] : "count");
    const node = this.quantityNode(found, dimension);
    if (unknown && found.unitAt) {
      const at = found.unitAt;
      const written = found.unitText;
      this.problems.push(
        unexpectedWord(at.startOffset, endOf(at), written, "as a unit", nearestNames(written, unitSpellings())),
      );
    } else if (expected.length > 0 && !expected.includes(dimension)) {
      this.problems.push(wrongUnit(node.from, node.to, node.text, unit?.dimension, owner, expected));
    }
    return node;
  }

  private quantityNode(found: Found, dimension: Dimension): QuantityNode {
    const unit = found.unit;
    let number = found.numbers[0]!;
    let alternatives: string[] = [];
    if (found.strokes && (dimension === "horsepower" || found.whole !== undefined)) {
      number = `${found.whole === undefined ? "" : `${found.whole} `}${found.numbers.join("/")}`;
    } else if (found.strokes) alternatives = found.numbers.slice(1);
    const sign = found.negative ? "-" : "";
    const value = siValue(sign + number, unit) ?? 0;
    const draft: Draft<QuantityNode> = {
      from: found.from,
      to: this.lastEnd(),
      text: "",
      dimension,
      value,
      unit: found.unitText,
      number: sign + number,
    };
    if (found.upper !== undefined) {
      const other = siValue(found.upper, unit) ?? value;
      draft.value = Math.min(value, other);
      draft.upper = Math.max(value, other);
    }
    if (alternatives.length > 0) draft.alternatives = alternatives.map((text) => siValue(text, unit) ?? 0);
    const tolerance = this.readTolerance();
    if (tolerance !== undefined) draft.tolerance = tolerance;
    draft.to = this.lastEnd();
    draft.text = this.source.slice(draft.from, draft.to);
    return draft;
  }

  private readNumbers(): Found {
    const first = this.peek();
    const found: Found = { from: first.startOffset, numbers: [], strokes: false, unitText: "", negative: false };
    if (first.tokenType === Minus) {
      this.take();
      found.negative = true;
    } else if (first.tokenType === PlusMinus) this.take();
    this.takeNumber(found);
    if (found.unitText === "") this.takeDecimalComma(found);
    // `1 1/2 hp`
    if (found.unitText === "" && this.peek().tokenType === Int && this.peek(2).tokenType === Slash && this.sameLine()) {
      const third = this.peek(3).tokenType;
      if (third === Int || third === NumName) {
        found.whole = found.numbers.pop()!;
        this.takeNumber(found);
      }
    }
    while (found.unitText === "" && this.peek().tokenType === Slash && this.isPlainNumber(2)) {
      this.take();
      this.takeNumber(found);
      found.strokes = true;
    }
    if (found.unitText === "") this.takeUnit(found);
    this.takeUpper(found);
    return found;
  }

  /** `5,4 kW` and `5,400 W`: read, and said to be written otherwise. */
  private takeDecimalComma(found: Found): void {
    const [comma, digits] = [this.peek(), this.peek(2)];
    const last = this.LA(0);
    const joined = comma.image === "," && comma.startOffset === endOf(last) && digits.startOffset === endOf(comma);
    if (!joined || (digits.tokenType !== Int && digits.tokenType !== NumName)) return;
    this.take();
    const whole = found.numbers.pop()!;
    this.takeNumber(found);
    const part = found.numbers.pop()!;
    const number = part.length === 3 ? whole + part : `${whole}.${part}`;
    found.numbers.push(number);
    const place = { from: last.startOffset, to: last.startOffset + whole.length + 1 + part.length };
    this.problem(place, "comma-in-number", "A number has no comma.", `Write \`${number}\`.`, [number]);
  }

  private isPlainNumber(ahead: number): boolean {
    const type = this.peek(ahead).tokenType;
    return type === Int || type === Dec || type === DecUnit || type === NumName;
  }

  private takeNumber(found: Found): void {
    const token = this.take();
    const split = token.tokenType === Int || token.tokenType === Dec ? undefined : splitNumber.exec(token.image);
    if (split) {
      found.numbers.push(split[1]!);
      this.foundUnit(found, split[2]!, token);
    } else found.numbers.push(token.image);
  }

  private foundUnit(found: Found, text: string, token: Token): void {
    found.unitText = text;
    found.unitAt = token;
    const unit = unitNamed(text);
    if (unit) found.unit = unit;
    // `25 F deg`: a difference
    if ((unit?.name === "°F" || unit?.name === "°C") && this.is("deg") && this.sameLine()) {
      this.take();
      found.unitText = `${text} deg`;
      found.unit = unitNamed(unit.name === "°F" ? "F deg" : "C deg")!;
    }
    // `120 V AC`, `250 V~`
    if (unit?.dimension === "voltage" && (this.is("AC") || this.is("~")) && this.sameLine()) this.take();
  }

  private takeUnit(found: Found): void {
    const token = this.peek();
    if (!this.sameLine()) return;
    if (token.tokenType === Percent) {
      this.take();
      this.foundUnit(found, "%", token);
    } else if (token.tokenType === Word && unitNamed(token.image)) {
      this.take();
      this.foundUnit(found, token.image, token);
    } else if (token.tokenType === Word && !this.is("to", 2) && this.misspeltUnit(token.image)) {
      this.take();
      this.foundUnit(found, token.image, token);
    }
  }

  /** `watss`, `kw`: no word of the language, but nearly a unit. */
  private misspeltUnit(word: string): boolean {
    if (isWordOfLanguage(word) || word === word.toUpperCase()) return false;
    const near = nearestNames(word, unitSpellings(), 1)[0];
    return near !== undefined && (word.length > 2 || near.toLowerCase() === word.toLowerCase());
  }

  /** `..290 C`, `to 71 C`: the larger end of a range. */
  private takeUpper(found: Found): void {
    const joins = this.peek().tokenType === DotDot || (this.is("to") && this.rangeFollows(found));
    if (!joins || !this.isNumber(2)) return;
    this.take();
    const negative = this.peek().tokenType === Minus;
    if (negative) this.take();
    const upper: Found = { from: 0, numbers: [], strokes: false, unitText: "", negative };
    this.takeNumber(upper);
    if (upper.unitText === "") this.takeUnit(upper);
    found.upper = (negative ? "-" : "") + upper.numbers[0]!;
    if (found.unitText === "") {
      found.unitText = upper.unitText;
      if (upper.unit) found.unit = upper.unit;
      if (upper.unitAt) found.unitAt = upper.unitAt;
    }
  }

  /** Behind `65`: `to 71 C` goes on with the same kind of unit; `1 to 2` names terminals. */
  private rangeFollows(found: Found): boolean {
    const dimension = this.unitAhead(2);
    if (!dimension) return false;
    return found.unit === undefined || found.unit.dimension === dimension;
  }

  /** Dimension of the quantity that starts at `ahead`, when it has a unit. */
  protected unitAhead(ahead: number): Dimension | undefined {
    if (this.peek(ahead).tokenType === Minus || this.peek(ahead).tokenType === PlusMinus) ahead++;
    // `1 1/2 hp`, `120/240 V`, `60..290 C`: the unit stands behind the last number
    if (
      this.peek(ahead).tokenType === Int &&
      this.peek(ahead + 1).tokenType === Int &&
      this.peek(ahead + 2).tokenType === Slash
    )
      ahead++;
    while (this.joinsNumbers(ahead + 1) && this.isPlainNumber(ahead + 2)) ahead += 2;
    const token = this.peek(ahead);
    if (token.tokenType === NumName) return this.numNameUnit(token)?.dimension;
    if (token.tokenType === DecUnit) return unitNamed(splitNumber.exec(token.image)![2]!)?.dimension;
    if (token.tokenType !== Int && token.tokenType !== Dec) return undefined;
    const unit = this.peek(ahead + 1);
    if (unit.line !== token.line) return undefined;
    if (unit.tokenType === Percent) return "share";
    return unit.tokenType === Word ? unitNamed(unit.image)?.dimension : undefined;
  }

  private joinsNumbers(ahead: number): boolean {
    const type = this.peek(ahead).tokenType;
    return type === Slash || type === DotDot;
  }

  /** `65 to 71 C` stands here, and not the two terminals `1 to 2`. */
  protected isRange(): boolean {
    if (!this.isNumber()) return false;
    if (this.unitAhead(1)) return true;
    return this.is("to", 2) && this.unitAhead(3) !== undefined;
  }

  private readTolerance(): number | undefined {
    if (this.peek().tokenType !== PlusMinus || !this.sameLine() || !this.isPlainNumber(2)) return undefined;
    this.take();
    const number = this.take().image;
    if (this.peek().tokenType === Percent) this.take();
    else this.missing("a % behind the tolerance", "Write a tolerance in per cent: `±5 %`.");
    return siValue(number, unitNamed("%")) ?? 0;
  }

  // ------------------------------------------------------------ ratings

  /** Behind `rated`: rating points until something else stands there. */
  protected readRating(): RatingNode {
    const from = this.peek().startOffset;
    const points: RatingPointNode[] = [];
    for (;;) {
      const point = this.readRatingPoint();
      if (point) points.push(point);
      const joined =
        (this.is("or") || this.is(",")) &&
        (this.isNumber(2) || this.is("pilot", 2) || dutyWords.includes(this.word(2)));
      if (joined) this.take();
      else if (!point || !this.isNumber() || !this.unitAhead(1)) break;
    }
    if (points.length === 0) {
      this.missing("the rating", "Write current and voltage as stamped: `rated 15 A 125 V`.");
      return { from: this.lastEnd(), to: this.lastEnd(), points };
    }
    return this.node<RatingNode>(from, { points });
  }

  private readRatingPoint(): RatingPointNode | undefined {
    const from = this.peek().startOffset;
    const point: Draft<RatingPointNode> = { from, to: from };
    let any = false;
    for (;;) {
      // `15A/125V`, as stamps have it
      if (any && this.is("/") && this.isNumber(2) && this.unitAhead(2)) this.take();
      if (this.is("pilot")) {
        this.take();
        this.takeIf("duty");
        if (this.isName() && this.sameLine()) point.pilotDuty = this.takeName();
        else this.missing("the code", "Write the code as stamped: `pilot duty B300`.");
      } else if (dutyWords.includes(this.word()) && !point.duty && this.sameLine()) {
        point.duty = this.takeName();
      } else if (this.isNumber()) {
        const next = this.unitAhead(1);
        if (point.voltage && next !== undefined) break;
        if (this.is("(", 2) || this.is("[", 2)) {
          if (point.current) break;
          this.readBracketed(point);
        } else {
          if (next === "current" && point.current) break;
          const quantity = this.readQuantity(["current", "voltage", "horsepower", "power"], "a rating");
          if (!quantity) break;
          this.placeRating(point, quantity);
        }
      } else break;
      any = true;
    }
    point.to = this.lastEnd();
    return any ? point : undefined;
  }

  private placeRating(point: Draft<RatingPointNode>, quantity: QuantityNode): void {
    if (quantity.dimension === "current") {
      point.current = quantity;
      const peak = quantity.alternatives?.[0];
      if (peak !== undefined) point.peakCurrent = { ...quantity, value: peak, alternatives: undefined };
      this.readBrackets(point, quantity.unit);
    } else if (quantity.dimension === "voltage") point.voltage = quantity;
    else if (quantity.dimension === "horsepower") point.horsepower = quantity;
  }

  /** `16(4) A`: the unit stands behind the brackets. */
  private readBracketed(point: Draft<RatingPointNode>): void {
    const token = this.take();
    this.readBrackets(point, "");
    const found: Found = {
      from: token.startOffset,
      numbers: [token.image],
      strokes: false,
      unitText: "",
      negative: false,
    };
    this.takeUnit(found);
    const scale = found.unit?.dimension === "current" ? found.unit : unitNamed("A")!;
    if (found.unit?.dimension !== "current") {
      const to = this.lastEnd();
      this.problems.push(
        wrongUnit(token.startOffset, to, this.source.slice(token.startOffset, to), found.unit?.dimension, "a rating", [
          "current",
        ]),
      );
    }
    point.current = {
      from: token.startOffset,
      to: this.lastEnd(),
      text: this.source.slice(token.startOffset, this.lastEnd()),
      dimension: "current",
      value: siValue(token.image, scale) ?? 0,
      unit: found.unitText,
      number: token.image,
    };
    for (const key of ["motorCurrent", "lampCurrent", "inductiveCurrent"] as const) {
      const inner = point[key];
      if (inner) point[key] = { ...inner, value: siValue(inner.number, scale) ?? 0, unit: found.unitText };
    }
  }

  /** `(4)` motor, `[2]` lamp, `<<3>>` inductive, behind a current (IEC 61058-1). */
  private readBrackets(point: Draft<RatingPointNode>, unit: string): void {
    const inside = (): QuantityNode | undefined => {
      this.take();
      if (!this.isPlainNumber(1)) {
        this.missing("a current in the brackets", "Write the current as stamped: `16(4) A`.");
        return undefined;
      }
      const token = this.take();
      const number = splitNumber.exec(token.image);
      const text = token.tokenType === Int || token.tokenType === Dec ? token.image : (number?.[1] ?? token.image);
      if (this.is("A") && this.is(")", 2)) this.take();
      return {
        from: token.startOffset,
        to: endOf(token),
        text: token.image,
        dimension: "current",
        value: siValue(text, unitNamed(unit) ?? unitNamed("A")) ?? 0,
        unit,
        number: text,
      };
    };
    const closing = (image: string) => {
      if (!this.takeIf(image)) this.missing(`a \`${image}\``, "Close the bracket.");
    };
    for (;;) {
      if (this.is("(")) {
        point.motorCurrent = inside();
        closing(")");
      } else if (this.is("[")) {
        point.lampCurrent = inside();
        closing("]");
      } else if (this.is("<<") || this.is("«")) {
        const close = this.is("<<") ? ">>" : "»";
        point.inductiveCurrent = inside();
        closing(close);
      } else return;
    }
  }
}
