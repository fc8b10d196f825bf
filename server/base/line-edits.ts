/** Two texts as the fewest edits of whole lines that make one of the other: what stays is not touched by an editor. */

export interface LineEdit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** Above this many pairs of lines the middle is replaced as a whole. */
const mostPairs = 4_000_000;

/** In text order. */
export function lineEdits(before: string, after: string): LineEdit[] {
  const one = linesOf(before);
  const two = linesOf(after);
  let head = 0;
  while (head < one.length && head < two.length && one[head] === two[head]) head++;
  let tail = 0;
  while (
    tail < one.length - head &&
    tail < two.length - head &&
    one[one.length - 1 - tail] === two[two.length - 1 - tail]
  )
    tail++;
  const kept = longestCommon(one.slice(head, one.length - tail), two.slice(head, two.length - tail));
  const edits: LineEdit[] = [];
  let [i, j] = [0, 0];
  let at = one.slice(0, head).join("").length;
  const edit = (toOne: number, toTwo: number) => {
    const old = one.slice(head + i, head + toOne).join("").length;
    const text = two.slice(head + j, head + toTwo).join("");
    if (old > 0 || text !== "") edits.push({ from: at, to: at + old, text });
    at += old;
  };
  for (const [a, b] of kept) {
    edit(a, b);
    at += one[head + a]!.length;
    [i, j] = [a + 1, b + 1];
  }
  edit(one.length - tail - head, two.length - tail - head);
  return edits;
}

/** Each with its break. */
function linesOf(text: string): string[] {
  return text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
}

/** Index pairs of equal lines, as many as can stand in one order. */
function longestCommon(one: readonly string[], two: readonly string[]): (readonly [number, number])[] {
  if (one.length * two.length > mostPairs) return [];
  const width = two.length + 1;
  const longest = new Uint32Array((one.length + 1) * width);
  for (let i = one.length - 1; i >= 0; i--)
    for (let j = two.length - 1; j >= 0; j--)
      longest[i * width + j] =
        one[i] === two[j]
          ? longest[(i + 1) * width + j + 1]! + 1
          : Math.max(longest[(i + 1) * width + j]!, longest[i * width + j + 1]!);
  const pairs: (readonly [number, number])[] = [];
  for (let i = 0, j = 0; i < one.length && j < two.length; ) {
    if (one[i] === two[j]) pairs.push([i++, j++]);
    else if (longest[(i + 1) * width + j]! >= longest[i * width + j + 1]!) i++;
    else j++;
  }
  return pairs;
}
