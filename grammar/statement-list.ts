/**
 * The statements of a tree, of which those that only stand elsewhere than in the text before are copied when somebody asks for them: a
 * keystroke moves all that stands behind it, and next to nothing of that is looked at before the next one.
 */
import { Beside } from "../server/base/beside.ts";
import { moveNodes } from "./move-nodes.ts";
import type { Statement, Tree } from "./tree.ts";

type Kind = Statement["statement"];
type Of<K extends Kind> = Extract<Statement, { statement: K }>;

export class StatementList {
  readonly length: number;
  /** As some text had them, and by how many characters each has moved since. */
  private readonly written: readonly Statement[];
  private readonly moved: Int32Array;
  /** Those that were asked for, where they stand now. */
  private readonly made: (Statement | undefined)[];
  private whole: readonly Statement[] | undefined;
  private kinds: ReadonlySet<Kind> | undefined;

  private constructor(written: readonly Statement[], moved: Int32Array, made: (Statement | undefined)[]) {
    this.length = written.length;
    this.written = written;
    this.moved = moved;
    this.made = made;
  }

  static of(statements: readonly Statement[]): StatementList {
    const list = new StatementList(statements, new Int32Array(statements.length), [...statements]);
    list.whole = statements;
    return list;
  }

  /** The first `front` of these, then others that moved by `againBy`, then these from `back` on, moved by `by`. */
  replaced(front: number, again: readonly Statement[], againBy: number, back: number, by: number): StatementList {
    const { written, moved, made } = this;
    const behind = front + again.length;
    const written2 = [...written.slice(0, front), ...again, ...written.slice(back)];
    const moved2 = new Int32Array(written2.length);
    moved2.set(moved.subarray(0, front));
    moved2.fill(againBy, front, behind);
    for (let index = behind; index < moved2.length; index++) moved2[index] = moved[index - behind + back]! + by;
    const made2: (Statement | undefined)[] = made.slice(0, front);
    if (by === 0) {
      for (const _ of again) made2.push(undefined);
      for (let index = back; index < made.length; index++) made2.push(made[index]);
    } else for (let index = front; index < written2.length; index++) made2.push(undefined);
    return new StatementList(written2, moved2, made2);
  }

  kind(index: number): Kind {
    return this.written[index]!.statement;
  }

  has(kind: Kind): boolean {
    this.kinds ??= new Set(this.written.map(({ statement }) => statement));
    return this.kinds.has(kind);
  }

  from(index: number): number {
    return this.written[index]!.from + this.moved[index]!;
  }

  at(index: number): Statement {
    return (this.made[index] ??= moveNodes(this.written[index]!, this.moved[index]!));
  }

  all(): readonly Statement[] {
    return (this.whole ??= this.written.map((_, index) => this.at(index)));
  }

  /** How many begin before the offset. */
  before(offset: number): number {
    let low = 0;
    let high = this.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.from(middle) < offset) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

const lists = new Beside<Tree, StatementList>();

/** Says whose statements a list holds. */
export function noteList(tree: Tree, list: StatementList): void {
  lists.set(tree, list);
}

export function listOf(tree: Tree): StatementList {
  const known = lists.get(tree);
  if (known) return known;
  const list = StatementList.of(tree.statements);
  lists.set(tree, list);
  return list;
}

/** Statements of one kind, in text order; no others are made for it. */
export function statementsOf<K extends Kind>(tree: Tree, kind: K): Of<K>[] {
  const list = listOf(tree);
  const found: Of<K>[] = [];
  if (!list.has(kind)) return found;
  for (let index = 0; index < list.length; index++) if (list.kind(index) === kind) found.push(list.at(index) as Of<K>);
  return found;
}

export function hasStatement(tree: Tree, ...kinds: readonly Kind[]): boolean {
  const list = listOf(tree);
  return kinds.some((kind) => list.has(kind));
}

/** Statements that begin in a stretch of the text, its end left out. */
export function statementsIn(tree: Tree, from: number, to: number): Statement[] {
  const list = listOf(tree);
  const found: Statement[] = [];
  for (let index = list.before(from); index < list.length && list.from(index) < to; index++) found.push(list.at(index));
  return found;
}
