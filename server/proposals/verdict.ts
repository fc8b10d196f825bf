/** A difference in plain words, in order of danger. Never "safe". */
import { type Finding, type ShownState, shownStateText } from "../base/finding.ts";
import { saysCutShort } from "../checks/unproved.ts";
import { amps, deviceWord, list, watts } from "../checks/words.ts";
import type { BridgedContact, ContactChange, Difference } from "./difference.ts";
import { isEmptyDifference } from "./difference.ts";

/** `danger`: a person or the house can come to harm. `trouble`: parts can. `change`: it works differently. */
export type Weight = "danger" | "trouble" | "change";

export interface VerdictLine {
  readonly weight: Weight;
  readonly text: string;
  readonly state?: ShownState;
  /** The contact, load or part that it speaks of, as lists of the difference name it. */
  readonly about?: string;
  /** The finding of either machine that it tells. */
  readonly finding?: Finding;
  /** The same for the same danger or trouble of another proposal, whatever its amounts; changes have none. */
  readonly key?: string;
  /** The edits that bring it, in words; left out where the proposal has one edit only. */
  readonly by?: string;
}

export interface Verdict {
  readonly headline: string;
  readonly lines: readonly VerdictLine[];
  readonly cautions: readonly string[];
}

const CAUTIONS: readonly string[] = [
  "This is worked out from what is written, not measured on the machine: the text may differ from it.",
  "Unplug the machine, and let capacitors discharge, before any wire is touched.",
  "Local codes, the maker's instructions and licensed practice come before anything said here.",
];

export function verdictOf(difference: Difference): Verdict {
  const lines = [
    ...difference.bridged.filter(protects).flatMap((one) => bridgedLines(one, difference)),
    ...dangers(difference),
    ...troubles(difference),
    ...changes(difference),
  ];
  for (const sentence of difference.missing) lines.unshift({ weight: "danger", text: `Not covered: ${sentence}.` });
  return { headline: headlineOf(difference, lines), lines, cautions: CAUTIONS };
}

/** A thermostat is no protector, but what stops a heater in normal use is not to be bridged lightly either. */
export function protects({ role, guards, unsaid, harmless }: BridgedContact): boolean {
  return (role !== "switching" && !harmless) || guards.length > 0 || unsaid !== undefined;
}

function headlineOf(difference: Difference, lines: readonly VerdictLine[]): string {
  const bridged = difference.bridged.filter(protects);
  if (bridged.length > 0)
    return `DANGER: ${list(bridged.map(({ contact }) => contact))} ${bridged.length > 1 ? "are" : "is"} bridged. This must be removed before the machine is used.`;
  if (difference.missing.length > 0) return "Not every state was covered, so that a danger may be left out here.";
  if (lines.some(({ weight }) => weight === "danger")) return "DANGER: this change brings new danger.";
  if (lines.some(({ weight }) => weight === "trouble")) return "This change brings new trouble.";
  if (isEmptyDifference(difference)) return "No difference, and no new danger found by these checks.";
  return "No new danger found by these checks.";
}

function bridgedLines(one: BridgedContact, { guards, loads, protection }: Difference): VerdictLine[] {
  const hurt = guards.find(({ change, hazard }) => change === "defeated" && one.guards.includes(hazard));
  const device = one.unsaid ?? (one.role === "switching" ? "guard" : deviceWord({ role: one.role } as never));
  // What it protected comes first; else whatever is energised now and was not.
  const bare = protection.filter(({ change, device: of }) => change === "lost" && of === one.contact);
  const awake = loads.filter(({ gained }) => gained !== undefined);
  const inSeries = awake.filter(({ load }) => bare.some((each) => each.load === load));
  // What it stopped by way of a relay hurts as much as what it stopped itself.
  const far = inSeries.some(({ load }) => one.frees.includes(load))
    ? []
    : awake.filter(({ load }) => one.frees.includes(load));
  const own = [...far, ...inSeries.filter((each) => !far.includes(each))];
  const now = own.length > 0 ? own : awake;
  const what = hurt
    ? one.role === "level"
      ? `${hurt.hazard} can work without the water that guards it`
      : `${hurt.hazard} can move or be live with its guard open`
    : now.length > 0
      ? `${list(now.map(({ load }) => load))} can be energised where ${one.contact} kept ${now.length > 1 ? "them" : "it"} off`
      : "it cannot stop anything any more";
  const state = hurt?.state ?? now[0]?.gained;
  return [
    {
      weight: "danger",
      text: `The ${device} ${one.contact} is bridged: ${what}. Remove the bridge before the machine is used.`,
      about: one.contact,
      key: `bridged ${one.contact}`,
      ...(state && { state }),
    },
  ];
}

function dangers({
  bridged,
  shorts,
  selfStarts,
  guards,
  lostAir,
  protection,
  loosened,
  newFindings,
}: Difference): VerdictLine[] {
  const lines: VerdictLine[] = [];
  if (shorts)
    lines.push({
      weight: "danger",
      text: "The supply is shorted in a state in which it was not.",
      state: shorts,
      key: "shorted",
    });
  for (const { load, resting, state } of selfStarts)
    lines.push({
      weight: "danger",
      text: resting
        ? `On by itself: ${load} is on with every control as it rests. Before, it was off then.`
        : `Starts by itself: ${load} is on as soon as the controls stand so. Before, it stayed off there until it was started.`,
      about: load,
      key: `starts ${load}`,
      state,
    });
  for (const { change, part, hazard, state } of guards)
    if (change === "defeated")
      lines.push({
        weight: "danger",
        text: `Guard defeated: ${part} (${hazard}) can work while its guard does not hold.`,
        about: part,
        key: `guard ${part} ${hazard}`,
        ...(state && { state }),
      });
  for (const { fan, heaters, does, slow, state } of lostAir)
    lines.push({
      weight: "danger",
      text: `Air lost: ${list(heaters)} can ${does} while ${fan} ${slow ? "gets too few volts to turn as it should" : "stands still"}; before, ${heaters.length > 1 ? "they" : "it"} never did.`,
      about: fan,
      key: `air ${fan}`,
      ...(state && { state }),
    });
  for (const { about, text } of loosened) lines.push({ weight: "danger", text, about, key: `loosened ${about}` });
  for (const { change, load, device, role, unsaid, state } of protection)
    if (change === "lost" && !bridged.some(({ contact }) => contact === device))
      lines.push({
        weight: "danger",
        text: `${role === "thermostat" ? "Control" : "Protection"} lost: the ${unsaid ?? deviceWord({ role } as never)} ${device} is no longer always in series with ${load}.`,
        about: load,
        key: `lost ${device} ${load}`,
        ...(state && { state }),
      });
  return [
    ...lines,
    ...newFindings.filter((one) => one.gravity === "error" && !onlyWorks(one)).map((one) => found("danger", one)),
  ];
}

function troubles({ bridged, loads, newFindings }: Difference): VerdictLine[] {
  // A lead across any other contact: what it switched off goes on. Fit for a test, hardly ever for use.
  const leads = bridged
    .filter((one) => !protects(one) && one.frees.length > 0)
    .map(({ contact, frees }): VerdictLine => {
      const state = loads.find(({ load, gained }) => gained && frees.includes(load))?.gained;
      return {
        weight: "trouble",
        text: `${contact} is bridged: ${list(frees)} can be energised where ${contact} kept ${frees.length > 1 ? "them" : "it"} off. Take a lead that was put in for a test out again.`,
        about: contact,
        ...(state && { state }),
      };
    });
  const worse = newFindings
    .filter((one) => one.gravity === "warning" || (one.gravity === "error" && onlyWorks(one)))
    .map((one) => found("trouble", one));
  return [...leads, ...worse];
}

/** The writer expects something to work and it does not: a fault, while an `off` that does not hold is a danger. */
function onlyWorks({ id, what }: Finding): boolean {
  return id === "expectation" && !/\boff\b|\bopen when\b/.test(what.split(" when ")[0]!);
}

/** The same check says something else of the same thing now: it has not gone away. */
function saidAnew(finding: Finding, now: readonly Finding[]): boolean {
  return finding.id !== "expectation" && now.some((other) => subjectOf(other) === subjectOf(finding));
}

/** The check and what it speaks of: an expectation as a whole, else the first name. */
function subjectOf({ id, what }: Finding): string {
  return `${id} ${id === "expectation" ? what.slice(0, what.indexOf("): ")) : what.split(" ")[0]}`;
}

function found(weight: Weight, finding: Finding): VerdictLine {
  const { what, state } = finding;
  return { weight, text: `New: ${what}`, ...(state && { state }), finding, key: subjectOf(finding) };
}

function changes(difference: Difference): VerdictLine[] {
  const lines: VerdictLine[] = [];
  const add = (about: string | Finding, text: string, state?: ShownState) =>
    void lines.push({
      weight: "change",
      text,
      ...(state && { state }),
      ...(typeof about === "string" ? { about } : { finding: about }),
    });
  for (const { load, change, before, after, gained, lost, unmissed, watts: most } of difference.loads) {
    if (before === after && unmissed && !gained && !most) continue;
    const power = most ? ` At most ${watts(most[0])} before, ${watts(most[1])} after.` : "";
    if (change === "new") add(load, `${load} is new; energised when: ${after}.`);
    else if (change === "gone") add(load, `${load} is gone; it was energised when: ${before}.`);
    else if (!gained && !lost) add(load, `${load} is energised in the same states.${power}`);
    else if (before === after)
      add(
        load,
        gained
          ? `${load} follows the same condition, but can now be energised, or more fully, in states in which it was not.${power}`
          : `${load} follows the same condition, but is no longer energised, or as fully, in some states.${power}`,
        gained ?? lost,
      );
    else add(load, `${load} was energised when: ${before}; now when: ${after}.${power}`, gained ?? lost);
  }
  for (const acts of grouped(difference.contacts)) add(acts[0]!.contact, ...contactLine(acts));
  for (const { size, wire, before = 0, after = 0, limit, state } of difference.conductors) {
    const good = limit === undefined ? "" : `; a lead of this size is good for ${amps(limit)}`;
    const now = after > 0 ? `${amps(after)} instead of ${amps(before)}` : `nothing instead of ${amps(before)}`;
    add(`wire ${wire}`, `${size} wire carries ${now} at worst (${wire})${good}.`, after > before ? state : undefined);
  }
  for (const { change, load, device } of difference.protection)
    if (change === "gained") add(load, `${device} is now always in series with ${load}.`);
  for (const { change, part, hazard } of difference.guards)
    if (change === "mended") add(part, `The guard of ${part} (${hazard}) now holds in every state.`);
  for (const one of difference.newFindings)
    if (one.gravity === "information" || one.gravity === "hint") add(one, `New: ${one.what}`, one.state);
  const open = new Set(difference.newFindings.filter(saysCutShort).map(({ id }) => id));
  for (const one of difference.vanishedFindings)
    if (!saidAnew(one, difference.newFindings))
      add(
        one,
        `No longer found${open.has(one.id) ? ", but not everything could be judged to the end" : ""}: ${one.what}`,
      );
  if (difference.open.length > 0)
    add(
      difference.open[0]!,
      `Not worked out to the end is what these get or carry at worst, so that a change of it may be left out here: ${list(difference.open, "and", 8)}.`,
    );
  return lines;
}

/** Those that get worse first; the others are told shortly. */
function grouped(contacts: readonly ContactChange[]): ContactChange[][] {
  const groups = new Map<string, ContactChange[]>();
  for (const one of contacts) groups.set(one.contact, [...(groups.get(one.contact) ?? []), one]);
  const all = [...groups.values()];
  return [...all.filter((acts) => acts.some(isWorse)), ...all.filter((acts) => !acts.some(isWorse))];
}

function isWorse({ before, after }: ContactChange): boolean {
  return (after ?? 0) > (before ?? 0);
}

/** `TM.agit makes 400 mA at worst instead of 23.8 A, carries 40 mA instead of 7.2 A; rated 15 A 125 V.` */
function contactLine(acts: readonly ContactChange[]): [string, ShownState | undefined] {
  const [first] = acts as [ContactChange, ...ContactChange[]];
  const worse = acts.filter(isWorse);
  const said = (worse.length > 0 ? worse : acts).map(({ act, before, after, atLeast = [] }) => {
    const was = `${atLeast.includes("before") ? "at least " : ""}${amps(before ?? 0)}`;
    const is = `${atLeast.includes("after") ? "at least " : ""}${amps(after ?? 0)}`;
    if (before === undefined) return `${act} ${is}`;
    return after === undefined ? `no longer ${act} ${was}` : `${act} ${is} instead of ${was}`;
  });
  const rated = first.ratings.length > 0 ? `; rated ${first.ratings.join(" or ")}` : "; no rating written";
  if (acts.every(({ after }) => after === undefined)) return [`${first.contact} is gone.`, undefined];
  const sure = acts.every(({ atLeast = [] }) => !atLeast.includes("after"));
  const less = worse.length > 0 || !sure ? "" : "less than before: ";
  // What only got smaller needs no state to prove it.
  const state = worse[0]?.state;
  return [`${first.contact} at worst ${less}${said.join(", ")}${rated}.`, state];
}

/** The line with its state and its cause, as one sentence or more. */
export function lineText({ text, state, by }: VerdictLine): string {
  const shown = state ? ` A state that shows it: ${shownStateText(state)}.` : "";
  return `${text}${shown}${by ? ` ${by}` : ""}`;
}
