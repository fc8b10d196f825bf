/**
 * Does a finding of the changed machine say something new? The same thing may be said in other words: lists follow the order of the text,
 * long ones name only the first few, and the state that shows it is any one of many. So a finding is known already when the other machine
 * has one of the same check, about the same thing, with the same amounts, that names everything that this one names.
 */
import type { Finding, Gravity } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";

interface Traits {
  readonly finding: Finding;
  /** The sentence, its lists in the order of the alphabet. */
  readonly sentence: string;
  /** Contact, load or part that it points at, or `wire`. */
  readonly thing: string;
  readonly amounts: readonly string[];
  /** Parts that the sentence names, and those that it shows besides. */
  readonly named: ReadonlySet<string>;
  readonly shown: ReadonlySet<string>;
}

const order: readonly Gravity[] = ["hint", "information", "warning", "error"];

/** Findings of each machine that the other one has not. `renamed`: names of the base as the changed machine has them. */
export function findingsApart(
  before: readonly Finding[],
  base: Machine,
  after: readonly Finding[],
  changed: Machine,
  renamed: (text: string) => string,
): { readonly news: Finding[]; readonly gone: Finding[] } {
  const old = traitsOf(before, base, renamed);
  const now = traitsOf(after, changed, (text) => text);
  const graver = (a: Finding, b: Finding) => order.indexOf(b.gravity) > order.indexOf(a.gravity);
  return {
    news: now
      .filter((b) => !old.some((a) => says(a, b) && !graver(a.finding, b.finding)))
      .map(({ finding }) => finding),
    // A finding that names less than before is still there.
    gone: old.filter((a) => !now.some((b) => says(b, a) || says(a, b))).map(({ finding }) => finding),
  };
}

/** Whether `a` says already what `b` says. */
function says(a: Traits, b: Traits): boolean {
  if (a.finding.id !== b.finding.id) return false;
  if (a.sentence === b.sentence) return true;
  if (a.finding.id === "expectation") return false;
  const named = [...b.named];
  const amounts = sameAmounts(a.amounts, b.amounts) || isLess(a.finding, b.finding);
  if (a.thing !== b.thing || !amounts || named.length === 0) return false;
  const known = (name: string) => a.named.has(name) || a.shown.has(name);
  // Wires of one size with one current are told by any one of them.
  return (b.thing === "wire" && b.amounts.length > 0) || named.every(known);
}

/** The same units, and numbers that no meter of the trade tells apart: half a percent. */
function sameAmounts(a: readonly string[], b: readonly string[]): boolean {
  return (
    a.length === b.length &&
    a.every((amount, at) => {
      const [[x, unit], [y, other]] = [amount.split(" "), b[at]!.split(" ")] as [[string, string], [string, string]];
      return unit === other && Math.abs(Number(x) - Number(y)) <= SAME * Math.max(Number(x), Number(y));
    })
  );
}

/** Of these more amps are worse; what follows `rated` or `good for` is the limit that they are held against. */
const MORE_IS_WORSE: ReadonlySet<string> = new Set(["contact-over-rating", "wire-size", "breaker-size"]);
const AMPS = /(rated |good for )?(\d[\d.]*) (mA|A|V)\b/g;

/** The same sentence with fewer amps against the same limits: known already, and better than before. */
function isLess({ id, what: before }: Finding, { what: after }: Finding): boolean {
  if (!MORE_IS_WORSE.has(id) || before.replace(AMPS, "$1") !== after.replace(AMPS, "$1")) return false;
  const [was, is] = [before, after].map((text) => [...text.matchAll(AMPS)]);
  return was!.every(([text, limit, number, unit], at) => {
    const [now, , amount, other] = is![at]!;
    if (limit || unit === "V") return text === now;
    const milli = (of: string | undefined, value: string | undefined) => Number(value) * (of === "mA" ? 1 : 1000);
    return milli(other, amount) <= milli(unit, number);
  });
}

/** Amounts closer than this share are the same: less than any meter of the trade tells apart. Ratings are judged exactly by the checks. */
export const SAME = 5e-3;

function traitsOf(findings: readonly Finding[], machine: Machine, renamed: (text: string) => string): Traits[] {
  const parts = new Set(machine.parts.flatMap(({ name, kind }) => (kind === "splice" ? [] : [renamed(name)])));
  const names = new Set([...machine.contacts, ...machine.loads].map(({ name }) => renamed(name)));
  const namesIn = (words: readonly string[]) =>
    words.flatMap((word) => {
      if (names.has(word)) return [word];
      const part = word.split(".")[0]!;
      return parts.has(part) ? [part] : [];
    });
  const wordsIn = (text: string) => renamed(text).match(/[\p{L}\p{N}_.-]*[\p{L}\p{N}_]/gu) ?? [];
  return findings.map((finding): Traits => {
    // What happens instead of what was expected depends on the state that shows it.
    const text = finding.id === "expectation" ? finding.what.split("): ")[0]! : finding.what;
    const words = wordsIn(text);
    return {
      finding,
      sentence: inOrder(renamed(text)),
      thing: renamed(thingAt(machine, finding)),
      amounts: (text.match(/\d[\d.]* (?:mA|A|mV|V|W|kW|ohm|kohm|C|hp|mm2|AWG|uF)\b/g) ?? []).sort(),
      named: new Set(namesIn(words)),
      shown: new Set(finding.related.flatMap((each) => namesIn(wordsIn(each.text)))),
    };
  });
}

/** `B (lamp), A and C` as `A, B (lamp), C`: who stands first follows from the text. Who does what to whom stays. */
function inOrder(sentence: string): string {
  const item = String.raw`[\p{L}\p{N}_][\p{L}\p{N}_.-]*(?: \([^()]*\))?`;
  const list = new RegExp(`${item}(?:, ${item})*(?: (?:and|or) ${item})`, "gu");
  return sentence.replace(list, (found) =>
    found
      .split(/, | and | or /)
      .sort()
      .join(", "),
  );
}

/** The smallest thing of the machine around the place; `wire` for a wire. */
function thingAt({ contacts, loads, parts, wires }: Machine, { place: { file, from } }: Finding): string {
  const here = ({ place }: { readonly place: Place }) => place.file === file && place.from <= from && from < place.to;
  const around = [...contacts, ...loads, ...parts].filter(here);
  const size = ({ place }: (typeof around)[number]) => place.to - place.from;
  return around.sort((a, b) => size(a) - size(b))[0]?.name ?? (wires.some(here) ? "wire" : "");
}

/** Two amounts that no meter of the trade tells apart. */
export function sameAmount(a: number, b: number): boolean {
  return Math.abs(a - b) <= SAME * Math.max(1e-3, Math.abs(a), Math.abs(b));
}
