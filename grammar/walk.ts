/** Walking a tree, and finding what stands at an offset. */
import { tokensOfLines } from "./token-infos.ts";
import type { TextNode, TokenInfo, Tree } from "./tree.ts";

/** A node with the name of the field that holds it (`links`, `part`, `items`). */
export interface WalkedNode {
  readonly node: TextNode;
  readonly field: string;
  readonly parent: TextNode;
}

function isNode(value: unknown): value is TextNode {
  return typeof value === "object" && value !== null && typeof (value as TextNode).from === "number" && "to" in value;
}

function* children(holder: object): Generator<{ node: TextNode; field: string }> {
  for (const [field, value] of Object.entries(holder)) {
    if (Array.isArray(value)) yield* members(value, field);
    else if (isNode(value)) yield { node: value, field };
    else if (typeof value === "object" && value !== null) yield* children(value);
  }
}

/** Lists may hold nodes, lists of nodes (clauses) or plain holders of a node (property values). */
function* members(list: readonly unknown[], field: string): Generator<{ node: TextNode; field: string }> {
  for (const member of list) {
    if (Array.isArray(member)) yield* members(member, field);
    else if (isNode(member)) yield { node: member, field };
    else if (typeof member === "object" && member !== null) yield* children(member);
  }
}

type Visit = (walked: WalkedNode) => boolean | undefined;

/** Calls `visit` for every node below `root`, parents first, in written order of fields; `false` skips what is inside. */
export function walk(root: TextNode | Tree, visit: Visit): void {
  const start: object = "statements" in root && "tokens" in root ? { statements: (root as Tree).statements } : root;
  visitHeld(start as Record<string, unknown>, root, visit);
}

// The same ways as `children` goes, without a generator: formatting walks whole trees after every keystroke.
function visitHeld(holder: Record<string, unknown>, parent: TextNode, visit: Visit): void {
  for (const field in holder) visitValue(holder[field], field, parent, visit);
}

function visitValue(value: unknown, field: string, parent: TextNode, visit: Visit): void {
  if (typeof value !== "object" || value === null) return;
  if (Array.isArray(value)) for (const member of value) visitValue(member, field, parent, visit);
  else if (!isNode(value)) visitHeld(value as Record<string, unknown>, parent, visit);
  else if (visit({ node: value, field, parent }) !== false)
    visitHeld(value as unknown as Record<string, unknown>, value, visit);
}

/** Nodes that hold `offset` (their end included), outermost first. A node that starts at the offset wins over one that ends there. */
export function nodeAt(tree: Tree, offset: number): readonly WalkedNode[] {
  const path: WalkedNode[] = [];
  const go = (holder: object, parent: TextNode) => {
    let best: WalkedNode | undefined;
    for (const { node, field } of children(holder)) {
      if (node.from <= offset && offset <= node.to && (!best || node.from >= best.node.from))
        best = { node, field, parent };
    }
    if (!best) return;
    path.push(best);
    go(best.node, best.node);
  };
  go({ statements: tree.statements }, tree);
  return path;
}

/** How many nodes of a list in text order begin before the offset. */
export function countBefore(nodes: readonly { readonly from: number }[], offset: number): number {
  let low = 0;
  let high = nodes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (nodes[middle]!.from < offset) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The token at `offset`, its end included; where two touch, the one that starts there. */
export function tokenAt({ text }: Tree, offset: number): TokenInfo | undefined {
  const tokens = tokensOfLines(text, offset, offset);
  const token = tokens[countBefore(tokens, offset + 1) - 1];
  return token && token.from <= offset && offset <= token.to ? token : undefined;
}
