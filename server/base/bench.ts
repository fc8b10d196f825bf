/** What the bench shows as plain data: readings compared, suspects, the reading to take next. Command line, write-up and editor alike. */

export interface ReportedReading {
  /** `ohms from HT.1 to HT.2, unplugged, lead off at HT.1`. */
  readonly title: string;
  /** Safe steps, in order. */
  readonly steps: readonly string[];
  /** What it will show, with the suspects that this means; likeliest first. */
  readonly outcomes: readonly string[];
  /** A `when` line to write above, and the line around the reading. */
  readonly condition?: string;
  readonly before: string;
  readonly after: string;
  /** What is typed in between: a number with this unit (or `open`); empty: a word. */
  readonly unit: string;
  /** Words that a person chooses from where no number is read. */
  readonly words: readonly string[];
  readonly live: boolean;
  /** Which of the block's situations it belongs to. */
  readonly situation: number;
}

export interface ReportedSuspect {
  /** `almost certain`, `62 %`. */
  readonly odds: string;
  readonly probability: number;
  readonly words: string;
  /** Why it is likelier than others of its kind. */
  readonly because?: string;
  /** Observations, as written, that speak for it, and that contradict it. */
  readonly supports: readonly string[];
  readonly contradicts: readonly string[];
  /** As drawings name them. */
  readonly names: readonly string[];
  /** How many faults the words stand for that no reading tells apart. */
  readonly alike: number;
}

export interface ReportedObservation {
  readonly text: string;
  readonly verdict: "agrees" | "disagrees" | "untold";
  /** What a sound machine shows. */
  readonly expected: string;
}

export interface BenchReport {
  readonly machine: string;
  readonly label: string;
  readonly states: readonly string[];
  readonly observations: readonly ReportedObservation[];
  readonly next?: ReportedReading;
  /** Further readings worth taking, in order. */
  readonly others: readonly ReportedReading[];
  readonly suspects: readonly ReportedSuspect[];
  /** One suspect stands for nearly all the odds. */
  readonly decided: boolean;
  readonly conclusion: string;
}

/**
 * The lines that go into the findings block for what a person typed: `118`, `118 V`, `open`, `OL`, `cold`. Undefined when it is
 * no reading of this kind.
 */
export function typedLines({ condition, before, after, unit }: ReportedReading, typed: string): string[] | undefined {
  const said = typed.trim().replace(/\s+/g, " ");
  const value = unit === "" ? wordOf(said) : measured(said, unit);
  if (value === undefined) return undefined;
  return [...(condition === undefined ? [] : [condition]), `${before}${value}${after}`];
}

function wordOf(said: string): string | undefined {
  return /^[\p{L}][\p{L} ]*$/u.test(said) ? said : undefined;
}

function measured(said: string, unit: string): string | undefined {
  if (unit === "ohm" && /^(open|ol|o\.l\.?|infinite|∞)$/i.test(said)) return "open";
  const match = /^(\d+(?:[.,]\d+)?|[.,]\d+) ?([kKmMuµ]?)(v|a|w|ohms?|Ω|)$/i.exec(said);
  if (!match) return undefined;
  const [, number = "", prefix = "", own = ""] = match;
  const meant = { v: "V", a: "A", w: "W" }[own.toLowerCase()] ?? (own === "" ? unit : "ohm");
  if (meant !== unit) return undefined;
  // Meters write k, K and M; a small m is milli, which no ohms of this trade are read in.
  const scale = unit === "ohm" && prefix === "m" ? "M" : prefix === "K" ? "k" : prefix;
  const digits = number.replace(",", ".").replace(/^\./, "0.");
  return `${digits} ${scale}${unit}`;
}
