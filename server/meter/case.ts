/** A findings block read against its machine: situations, observations, and what in it is not understood. */
import type { ConditionNode, FindingsEntry, FindingsStatement, TermNode } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { andConditions, describeLiteral, namesOf, orConditions, resolveTerm } from "../machine/index.ts";
import type { Condition, Literal, Machine } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { type BenchPoint, pointNamed } from "./points.ts";
import type { Reading } from "./reading.ts";
import { type Situation, situationOf } from "./situation.ts";
import { knownSymptoms, symptomOdds, symptomSubject } from "./symptoms.ts";
import { openOhms } from "./tables/meters.ts";

export interface Observation {
  readonly reading: Reading;
  /** V, A, ohm or W as read; Infinity for open. For symptoms and claims the odds stand in `reading`. */
  readonly value: number;
  readonly place: Place;
  /** As written. */
  readonly text: string;
}

export interface BenchCase {
  readonly label: string;
  readonly place: Place;
  readonly situations: readonly Situation[];
  /** For each situation, where a further line about it goes: behind the last one, an offset of the text. */
  readonly ends: readonly number[];
  readonly observations: readonly Observation[];
  /** Lines that are not understood, each told once. */
  readonly findings: readonly Finding[];
}

/** `file` and `text`: where the block stands, which may be another file than the machine's. */
export function readCase(engine: Engine, statement: FindingsStatement, file: string, text: string): BenchCase {
  return new CaseReader(engine, statement, file, text).run();
}

class CaseReader {
  private readonly machine: Machine;
  private readonly findings: Finding[] = [];
  private readonly observations: Observation[] = [];
  private readonly situations: Situation[] = [];
  private readonly ends: number[] = [];

  constructor(
    private readonly engine: Engine,
    private readonly statement: FindingsStatement,
    private readonly file: string,
    private readonly text: string,
  ) {
    this.machine = engine.circuit.machine;
  }

  run(): BenchCase {
    const { entries, label, from, to } = this.statement;
    // A `when` holds for the lines below it, up to the next one.
    let lines: FindingsEntry[] = [];
    let when: (FindingsEntry & { entry: "when" }) | undefined;
    for (const entry of entries) {
      if (entry.entry !== "when") lines.push(entry);
      else {
        this.readGroup(when, lines);
        [when, lines] = [entry, []];
      }
    }
    this.readGroup(when, lines);
    return {
      label: label?.text ?? "findings",
      place: { file: this.file, from, to },
      situations: this.situations,
      ends: this.ends,
      observations: this.observations,
      findings: this.findings,
    };
  }

  private readGroup(when: (FindingsEntry & { entry: "when" }) | undefined, lines: readonly FindingsEntry[]): void {
    let condition: Condition = when ? this.resolve(when.condition) : [[]];
    const left: FindingsEntry[] = [];
    // What is seen of a switch or of the water is how the machine stood, not what came of it.
    for (const line of lines) {
      const seen = line.entry === "symptom" ? this.setting(line) : undefined;
      if (seen) condition = andConditions(condition, [[seen]]);
      else left.push(line);
    }
    const live = left.some(
      (line) => line.entry === "symptom" || (line.entry === "reading" && !line.unplugged && line.word !== "ohms"),
    );
    if (left.length === 0 && !when) return;
    const situation = situationOf(this.engine, condition);
    const place = when ?? lines[0]!;
    if (!situation) {
      this.tell(
        place,
        "findings-no-state",
        "The machine cannot stand as these lines say.",
        "Correct the line that begins with when.",
      );
      return;
    }
    if (!when && live)
      this.tell(
        place,
        "findings-no-state",
        "How the machine stood is not written.",
        "Begin with a line such as: when TM in timed, DOOR shut. Until then everything is taken to rest.",
        "information",
      );
    const index = this.situations.push(situation) - 1;
    this.ends.push((lines.at(-1) ?? when)?.to ?? this.statement.to);
    if (when)
      for (const claim of situation.claims)
        this.observations.push({
          reading: { of: "stands", claim, situation: index },
          value: 1,
          place: { file: this.file, from: when.condition.from, to: when.condition.to },
          text: describeLiteral(this.machine, claim),
        });
    for (const line of left) {
      if (line.entry === "symptom") this.readSymptom(line, index);
      else if (line.entry === "reading") this.readReading(line, index);
    }
  }

  private resolve(node: ConditionNode): Condition {
    const view = namesOf(this.machine);
    if (node.clauses.length === 0) return [[]];
    const fault = (term: TermNode): void =>
      this.tell(
        term,
        "findings-unknown",
        `The machine has nothing that could stand so: ${this.slice(term)}.`,
        "Write a control of the machine and one of its positions.",
      );
    return orConditions(
      ...node.clauses.map((terms) =>
        andConditions(...terms.map((term) => resolveTerm(view, term, undefined, { fault }) ?? [[]])),
      ),
    );
  }

  /** `seen WL full`, `seen DOOR open`: the position of something a person, water or heat moves. */
  private setting(line: FindingsEntry & { entry: "symptom" }): Literal | undefined {
    const part = pointNamed(this.machine, line.subject);
    const name = line.what?.text.trim().replace(/^in /, "");
    for (const id of part?.controls ?? []) {
      const control = this.machine.controls[id]!;
      if (control.settled || control.role === "timer") continue;
      const at = control.positions.findIndex((position) => position.name === name);
      if (at >= 0) return { control: id, positions: Uint8Array.from(control.positions, (_, i) => (i === at ? 1 : 0)) };
    }
    return undefined;
  }

  private readSymptom(line: FindingsEntry & { entry: "symptom" }, situation: number): void {
    const point = this.point(line, line.subject);
    const odds = symptomOdds(line.what?.text ?? "");
    const subject = point && symptomSubject(this.machine, point);
    if (!point) return;
    if (!odds || !subject) {
      this.tell(
        line,
        "findings-not-understood",
        subject
          ? `What ${point.name} did is not understood: ${line.what?.text ?? "nothing is written"}.`
          : `${point.name} does nothing that a person could notice.`,
        subject ? `Words that are: ${knownSymptoms}. The line is kept as a note.` : "Name a load, a motor or a timer.",
        "information",
      );
      return;
    }
    this.add(line, { of: "symptom", subject, odds, situation }, 1);
  }

  private readReading(line: FindingsEntry & { entry: "reading" }, situation: number): void {
    const a = this.point(line, line.a);
    const b = line.b ? this.point(line, line.b) : undefined;
    if (!a || (line.b && !b)) return;
    const value = line.open ? Number.POSITIVE_INFINITY : line.value?.value;
    if (value === undefined || (line.open && line.word !== "ohms")) return;
    const two = b ? [...a.terminals.slice(0, 1), ...b.terminals.slice(0, 1)] : a.terminals;
    if (line.word === "volts" || line.word === "ohms") {
      if (two.length !== 2) {
        this.tell(
          line,
          "findings-not-understood",
          `A reading in ${line.word} needs two points; ${a.name} is not two.`,
          `Write both: ${line.word} DM.4 to DM.5.`,
        );
        return;
      }
      const lifted = (line.lifted ?? []).flatMap((point) => this.point(line, point)?.terminals ?? []);
      if (line.word === "ohms")
        this.add(
          line,
          { of: "ohms", a: two[0]!, b: two[1]!, lifted, situation },
          value > openOhms.value ? Number.POSITIVE_INFINITY : value,
        );
      else if (line.unplugged)
        this.tell(
          line,
          "findings-not-understood",
          "Volts unplugged are none.",
          "Leave out unplugged, or write what the ohms were.",
        );
      else this.add(line, { of: "volts", a: two[0]!, b: two[1]!, situation }, value);
      return;
    }
    if (a.terminals.length === 0 && a.loads.length === 0 && a.contacts.length === 0) return;
    const at =
      a.part !== undefined && a.terminals.length === 1
        ? { terminal: a.terminals[0]! }
        : a.part === undefined
          ? { terminal: a.terminals[0]! }
          : a.loads.length > 0
            ? { loads: a.loads }
            : { contacts: a.contacts };
    this.add(line, { of: line.word, ...at, situation }, value);
  }

  private add(line: FindingsEntry, reading: Reading, value: number): void {
    this.observations.push({
      reading,
      value,
      place: { file: this.file, from: line.from, to: line.to },
      text: this.slice(line).replace(/\s+/g, " "),
    });
  }

  private point(line: FindingsEntry, node: Parameters<typeof pointNamed>[1]): BenchPoint | undefined {
    const found = pointNamed(this.machine, node);
    // In the machine's own file unknown names are told already.
    if (!found && node && this.file !== this.machine.file)
      this.tell(
        node,
        "findings-unknown",
        `${this.machine.label || "The machine"} has nothing called ${this.slice(node)}.`,
        "Write the name of a part or terminal of the machine.",
      );
    else if (!found && !node)
      this.tell(
        line,
        "findings-not-understood",
        "This line names no part.",
        "Name the part: heard DM hums.",
        "information",
      );
    return found;
  }

  private slice({ from, to }: { from: number; to: number }): string {
    return this.text.slice(from, to);
  }

  private tell(
    { from, to }: { from: number; to: number },
    id: string,
    what: string,
    advice: string,
    gravity: Finding["gravity"] = "warning",
  ): void {
    this.findings.push({ id, gravity, place: { file: this.file, from, to }, what, advice, related: [] });
  }
}
