/** engine -> findings: every registered check in short jobs, with the writer's gravities and silencers applied. */
import type { Finding, Gravity } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import type { Structure } from "../machine/structure.ts";
import type { Engine } from "../states/engine.ts";
import type { Check, CheckContext, Report } from "./check.ts";
import { KeptReports } from "./kept-by-structure.ts";
import { checks as registered } from "./registry.ts";
import { applySilencers } from "./silence.ts";

export interface CheckOptions {
  /** Gravity by id from the settings; `off` leaves the check out. */
  readonly gravity?: Readonly<Record<string, Gravity | "off">>;
  /** Given: checks of the later phase run too, with engines made by this for changed machines. */
  readonly analyse?: (machine: Machine) => Generator<void, Engine>;
  /** `main`, `later` or both (left out: main, and later when `analyse` is given). */
  readonly phase?: "main" | "later";
  /** Told what checks of the later phase looked at, and what of it was not covered. */
  readonly looked?: (at: string, missing: readonly string[]) => void;
  /** That of the machine: given, reports that hang on nothing else are taken over from one that shares it. */
  readonly structure?: Structure;
  /** Asked between two jobs: false when they may as well be one. Left out: it yields after each job. */
  readonly isDue?: (() => boolean) | undefined;
  /** Other checks than the registered ones (tests). */
  readonly checks?: readonly Check[];
}

/**
 * Findings of electricity, not of writing; those of `Machine.findings` are the caller's to add. A check that throws is told
 * as a finding and does not stop the others. Silencers are applied, and told when unused.
 */
export function* runChecks(engine: Engine, options: CheckOptions = {}): Generator<void, Finding[]> {
  const { machine } = engine.circuit;
  const all = options.checks ?? registered;
  const findings: Finding[] = [];
  const ran = new Set<string>();
  const looked = (at: string, missing: readonly string[] = []): void => options.looked?.(at, missing);
  const { analyse, isDue } = options;
  let onStructure = true;
  const amountsDecide = (): void => {
    onStructure = false;
  };
  const shared: Omit<CheckContext, "report"> = analyse
    ? { engine, machine, looked, amountsDecide, analyse }
    : { engine, machine, looked, amountsDecide };
  const kept = options.structure && KeptReports.of(engine, options.structure);
  for (const check of all) {
    const wanted = options.gravity?.[check.id];
    const phase = check.phase ?? "main";
    if (wanted === "off" || (options.phase ?? phase) !== phase || (phase === "later" && !options.analyse)) continue;
    ran.add(check.id);
    const reports: Report[] = [];
    const report = (finding: Report): void => {
      findings.push(findingOf(finding, check.id, wanted ?? finding.gravity ?? check.gravity));
      reports.push(finding);
    };
    const before = check.hangsOn === "structure" ? kept?.find(check) : undefined;
    if (before) {
      before.forEach(report);
      continue;
    }
    onStructure = check.hangsOn === "structure";
    try {
      const jobs = check.run({ ...shared, report });
      // Jobs are many and mostly of microseconds, and each yield goes through all that wait for the findings.
      while (!jobs.next().done) if (isDue === undefined || isDue()) yield;
      if (onStructure) kept?.keep(check, reports);
    } catch (error) {
      findings.push(checkFailed(check, machine, error));
    }
    if (isDue === undefined || isDue()) yield;
  }
  const known = new Set([...all.map(({ id }) => id), ...(options.checks ? registered.map(({ id }) => id) : [])]);
  const told = outsideUnused(machine, onceEach(findings));
  return applySilencers(told, { machine, known, ran, tellIllWritten: options.phase !== "later" });
}

function findingOf(report: Report, id: string, gravity: Gravity): Finding {
  const { place, what, why, advice, state, related, fixes, unused } = report;
  // Written out, nearly all of them are made many times faster than by copying whatever there is.
  if (why === undefined || fixes !== undefined || unused !== undefined) return { ...report, id, gravity };
  if (state === undefined) return { id, gravity, place, what, why, advice, related };
  return { id, gravity, place, what, why, advice, state, related };
}

function checkFailed(check: Check, machine: Machine, error: unknown): Finding {
  return {
    id: "check-failed",
    gravity: "warning",
    place: machine.supply.place,
    what: `The check ${check.id} could not be finished: ${error instanceof Error ? error.message : String(error)}.`,
    why: "What it would have found may still be there.",
    advice: "Please report this with the text of the machine.",
    related: [],
  };
}

/**
 * Without what checks say of parts that no wire reaches: unused-part tells those once already. A frame is no such part, its
 * missing bond must be told.
 */
function outsideUnused(machine: Machine, findings: readonly Finding[]): Finding[] {
  const unused = machine.findings
    .filter(({ id }) => id === "unused-part")
    .flatMap(({ place }) => machine.parts.filter(({ namePlace }) => samePlace(namePlace, place)))
    .filter(({ frame }) => frame === undefined);
  return findings.filter(
    ({ place }) =>
      !unused.some(
        (part) => part.place.file === place.file && part.place.from <= place.from && place.to <= part.place.to,
      ),
  );
}

function samePlace(a: Place, b: Place): boolean {
  return a.file === b.file && a.from === b.from && a.to === b.to;
}

/** The same words at the same place are told once. */
function onceEach(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter(({ id, place, what }) => {
    const key = `${id} ${place.file} ${place.from} ${what}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
