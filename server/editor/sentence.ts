/**
 * What stands before the caret, read from the tokens alone so that half-typed text serves as well: the open blocks, the words of the
 * statement or item that is being written, and the word under the caret.
 */
import { listOf } from "../../grammar/statement-list.ts";
import { tokensOfLines } from "../../grammar/token-infos.ts";
import type { TokenInfo, Tree } from "../../grammar/tree.ts";
import { findingsWords, items, kindNamed, properties, proposalWords, statements } from "../../grammar/vocabulary.ts";
import { countBefore } from "../../grammar/walk.ts";

export interface Piece {
  readonly text: string;
  readonly type: TokenInfo["type"];
  readonly from: number;
  readonly to: number;
}

export type BlockKind = "file" | "part" | "speed-switch" | "chart" | "proposal" | "findings" | "other";

export interface Block {
  readonly block: BlockKind;
  /** Kind and name of the part that the block belongs to; of a type its kind and own name. */
  readonly kind?: string;
  readonly part?: string;
  /** Where it opens. */
  readonly from: number;
}

export interface Sentence {
  readonly block: Block;
  /** Words before the one under the caret, from the start of the statement or item. */
  readonly before: readonly Piece[];
  /** The word under the caret: what is typed of it, and what a choice replaces. */
  readonly typed: string;
  readonly from: number;
  readonly to: number;
  /** `TM` behind `TM.`; the word is then what follows the dot. */
  readonly dotted?: string;
  /** Inside a comment. */
  readonly comment: boolean;
  /** Inside a text in quotes, with the offsets of what stands between the quotes. */
  readonly label?: { readonly from: number; readonly to: number };
}

const firstWord = (word: string) => word.split(" ")[0]!;
const fileStarts = new Set(statements.map(({ word }) => word));
const itemStarts = new Set([...items, ...properties].map(({ word }) => firstWord(word)));
const proposalStarts = new Set([...proposalWords.map(({ word }) => word), "wire", "bond", "strap", "jumper"]);
const findingsStarts = new Set(findingsWords.map(({ word }) => word));

/** Letters of names; a stamp may end in digits, a name may hold a hyphen. */
const wordBefore = /[\p{L}_°µΩ0-9][\p{L}_°µΩ0-9/-]*$/u;
const wordAfter = /^[\p{L}_°µΩ0-9/-]*/u;

export function sentenceAt(tree: Tree, offset: number): Sentence {
  const { text } = tree;
  const first = statementBefore(tree, offset);
  const tokens = tokensOfLines(text, first, offset);
  let blocks: Block[] = [{ block: "file", from: 0 }];
  let sentence: Piece[] = [];
  let label: Sentence["label"];
  for (let index = countBefore(tokens, first); index < tokens.length; index++) {
    const token = tokens[index]!;
    if (token.from >= offset) break;
    const word = text.slice(token.from, token.to);
    if (token.type === "label" && offset < token.to + (closed(word) ? 0 : 1)) {
      label = { from: token.from + 1, to: closed(word) ? token.to - 1 : token.to };
      break;
    }
    const piece: Piece = { text: word, type: token.type, from: token.from, to: token.to };
    const here = blocks.at(-1)!;
    if (word === "{") {
      blocks = [...blocks, blockOf(sentence, here, token.from)];
      sentence = [];
    } else if (word === "}") {
      if (blocks.length > 1) blocks = blocks.slice(0, -1);
      sentence = [];
    } else if (word === ";") sentence = [];
    else if (begins(text, piece, here, sentence)) sentence = [piece];
    else sentence.push(piece);
  }
  const before = text.slice(Math.max(0, offset - 200), offset);
  const typed = wordBefore.exec(before)?.[0] ?? "";
  const from = offset - typed.length;
  const to = offset + (wordAfter.exec(text.slice(offset, offset + 200))?.[0].length ?? 0);
  const dotted = /([\p{L}_][\p{L}_0-9-]*)\.$/u.exec(before.slice(0, before.length - typed.length))?.[1];
  const block = blocks.at(-1)!;
  // The word under the caret is not among those before it; nor are the part and dot that it belongs to.
  let words = sentence.filter((piece) => piece.to <= from && piece.from < from);
  if (dotted !== undefined) words = words.slice(0, -2);
  // On a line of its own a new statement may begin, whatever the lines before say.
  const lineStart = text.lastIndexOf("\n", from - 1) + 1;
  const alone = text.slice(lineStart, from).trim() === "";
  return {
    block,
    before: alone && label === undefined && !goesOn(words) ? [] : words,
    typed,
    from,
    to,
    ...(dotted === undefined ? {} : { dotted }),
    ...(label === undefined ? {} : { label }),
    comment: inComment(tree, offset),
  };
}

/** A line that ends so is not done: what follows belongs to it. */
function goesOn(words: readonly Piece[]): boolean {
  return ["to", ",", "or", "when", "in"].includes(words.at(-1)?.text ?? "");
}

function closed(label: string): boolean {
  return label.length > 1 && label.endsWith('"') && !label.endsWith('\\"');
}

function inComment({ comments }: Tree, offset: number): boolean {
  const comment = comments[countBefore(comments, offset) - 1];
  return comment !== undefined && offset <= comment.to;
}

/** Where the last statement that begins before the offset stands. */
function statementBefore(tree: Tree, offset: number): number {
  const list = listOf(tree);
  const before = list.before(offset);
  return before === 0 ? 0 : list.from(before - 1);
}

function begins(
  text: string,
  { text: word, from, type }: Piece,
  { block }: Block,
  sentence: readonly Piece[],
): boolean {
  const lineStart = text.lastIndexOf("\n", from - 1) + 1;
  if (text.slice(lineStart, from).trim() !== "") return sentence.length === 0;
  if (block === "chart") return true;
  if (type !== "word") return false;
  switch (block) {
    case "file":
      return fileStarts.has(word) || kindNamed(word) !== undefined;
    case "proposal":
      return proposalStarts.has(word);
    case "findings":
      return findingsStarts.has(word);
    default:
      return itemStarts.has(word);
  }
}

function blockOf(sentence: readonly Piece[], outer: Block, from: number): Block {
  const words = sentence.map(({ text }) => text);
  const [head, next] = words;
  if (head === "proposal" || head === "findings") return { block: head, from };
  if (head === "type") return { block: "part", kind: words[2], part: next, from };
  const inside = { kind: outer.kind, part: outer.part, from };
  if (head === "chart" || head === "speed-switch") return { block: head, ...inside };
  const kind = words.find((word) => kindNamed(word));
  if (outer.block === "file" || outer.block === "proposal") {
    const at = kind === undefined ? -1 : words.indexOf(kind);
    return kind === undefined ? { block: "other", from } : { block: "part", kind, part: words[at + 1], from };
  }
  return { block: "other", ...inside };
}
