/**
 * What a rewire changes, over every reachable state of both machines. States are compared control by control (by name): a load's
 * condition has changed when it is energised in a state of one machine that, in the controls both have, is no energised state
 * of the other. Nothing that stayed the same is listed. Of loads a control that moves nothing (a valve's seat) is no matter.
 */
import type { Finding, ShownState } from "../base/finding.ts";
import { anyOf, ENERGISED, energised, FULL, less, readableCondition, shownAfter, shownIn } from "../checks/ask.ts";
import { canHurt, guardsOn, type NamedGuard, namedGuardOf } from "../checks/hazards.ts";
import { isCutShort } from "../checks/unproved.ts";
import { contactName, loadName } from "../checks/words.ts";
import { describeCondition } from "../machine/describe.ts";
import { idleControls } from "../machine/idle-controls.ts";
import type { Contact, ControlId, Load, Machine } from "../machine/machine.ts";
import type { ControlMatch, Engine, LoadClass, Quantity, Region } from "../states/engine.ts";
import { type ConductorChange, conductorChanges } from "./conductor-changes.ts";
import { type GuardChange, guardChanges } from "./guard-changes.ts";
import { type Loosened, loosenedBreaker, loosenedContact } from "./loosened.ts";
import { type LostAir, lostAir } from "./lost-air.ts";
import { renamedText } from "./rename.ts";
import { findingsApart, sameAmount } from "./same-finding.ts";
import { inputsOf, onAtRest, selfStart } from "./self-starts.ts";

export interface LoadChange {
  readonly load: string;
  readonly change: "changed" | "new" | "gone";
  /** When it is energised, as a condition; undefined where there is no such load. */
  readonly before?: string;
  readonly after?: string;
  /** A state of the changed machine in which it is energised, or works fully, and was not before. */
  readonly gained?: ShownState;
  /** A state of the base in which it was, and is not any more. */
  readonly lost?: ShownState;
  /** It was lost only where the machine cannot be any more, as with a thermostat open that nothing warms now. */
  readonly unmissed?: true;
  /** Largest watts, before and after, where they differ. */
  readonly watts?: readonly [number, number];
}

export interface ProtectionChange {
  readonly load: string;
  readonly device: string;
  readonly role: Contact["role"];
  /** What a plain contact is to the load by what it is called or feeds. */
  readonly unsaid?: NamedGuard;
  readonly change: "lost" | "gained";
  /** A state in which the load is energised without the device in series; in the base for `gained`. */
  readonly state?: ShownState;
}

export interface ContactChange {
  readonly contact: string;
  readonly act: "carries" | "makes" | "breaks";
  /** Worst amps before and after; undefined where there is no such contact. */
  readonly before?: number;
  readonly after?: number;
  /** Of these more may flow: the search for the worst was cut short. */
  readonly atLeast?: readonly ("before" | "after")[];
  readonly ratings: readonly string[];
  readonly state?: ShownState;
}

/** A contact with its two ends tied together: it cannot open anything any more. */
export interface BridgedContact {
  readonly contact: string;
  readonly role: Contact["role"];
  /** Guards that hang on it. */
  readonly guards: readonly string[];
  /** What moves, heats or burns and can be energised where it was off. */
  readonly frees: readonly string[];
  /**
   * What it is to people though no guard is written: a door's or lid's by its name, or thrown by a motor's shaft, so that nothing heats in
   * standing air. Only where what it keeps off can now work where it was off, or worked through it before.
   */
  readonly unsaid?: NamedGuard;
  /** A thermostat that neither stopped nor let go anything that moves, heats or burns, as that of a fan. */
  readonly harmless?: true;
}

/** Something that moves or heats and had to be started, and is on now as soon as the controls stand so. */
export interface SelfStart {
  readonly load: string;
  /** With every control as it rests, where it was off before however the machine had been used. */
  readonly resting?: true;
  readonly state: ShownState;
}

export interface Difference {
  readonly selfStarts: readonly SelfStart[];
  readonly bridged: readonly BridgedContact[];
  readonly shorts: ShownState | undefined;
  readonly guards: readonly GuardChange[];
  readonly lostAir: readonly LostAir[];
  readonly protection: readonly ProtectionChange[];
  /** What protects and does so less than before, by its own marks. */
  readonly loosened: readonly Loosened[];
  readonly loads: readonly LoadChange[];
  readonly contacts: readonly ContactChange[];
  readonly conductors: readonly ConductorChange[];
  /** Contacts, loads and wires whose worst amounts were not worked out to the end in one of the machines, so that a change may be left out. */
  readonly open: readonly string[];
  readonly newFindings: readonly Finding[];
  readonly vanishedFindings: readonly Finding[];
  /** What was not covered in either machine; then the rest may lack something. */
  readonly missing: readonly string[];
}

export interface Side {
  readonly engine: Engine;
  readonly findings: readonly Finding[];
}

export function isEmptyDifference(difference: Difference): boolean {
  const { shorts, missing: _, ...lists } = difference;
  return shorts === undefined && Object.values(lists).every((list) => list.length === 0);
}

/** In short jobs. Both engines must be of the kind that can translate regions. */
export function* differenceOf(
  base: Side,
  changed: Side,
  renames: ReadonlyMap<string, string> = new Map(),
  /** Only what can be a danger: neither when loads work nor what contacts carry. */
  { dangers = false } = {},
): Generator<void, Difference> {
  const pair = new Pair(base.engine, changed.engine, renames);
  yield;
  const loads: LoadChange[] = [];
  const protection: ProtectionChange[] = [];
  for (const [a, b] of pair.loads) {
    const change = dangers ? undefined : pair.loadChange(a, b);
    if (change) loads.push(change);
    if (a && b) protection.push(...pair.protection(a, b));
    yield;
  }
  const contacts: ContactChange[] = [];
  for (const [a, b] of dangers ? [] : pair.contacts) {
    contacts.push(...pair.contactChanges(a, b));
    yield;
  }
  const [one, two] = [base.engine.circuit.machine, changed.engine.circuit.machine];
  const { news, gone } = findingsApart(base.findings, one, changed.findings, two, (text) => pair.named(text, one));
  return {
    selfStarts: yield* pair.selfStarts(),
    bridged: pair.bridged(),
    shorts: pair.newShort(),
    guards: guardChanges(base.engine, changed.engine, {
      named: (text) => pair.named(text, one),
      gained: (before, after) => pair.gained(before, after),
    }),
    lostAir: lostAir(base.engine, changed.engine, pair.loads),
    protection,
    loosened: [
      ...pair.contacts.flatMap(([a, b]) => (a && b ? loosenedContact(a, two, b) : [])),
      ...loosenedBreaker(one, two),
    ],
    loads,
    contacts,
    conductors: dangers ? [] : yield* conductorChanges(base.engine, changed.engine, pair.open),
    open: [...pair.open],
    // What a lead does is told as a bridge and by what it lets go, not by its being there.
    newFindings: news.filter(({ id }) => id !== "jumper-left-in"),
    vanishedFindings: gone,
    missing: [...new Set([base, changed].flatMap(({ engine }) => engine.covered().missing))],
  };
}

/** Energised, with all it needs, with too much. */
const STRENGTHS: readonly (readonly LoadClass[])[] = [ENERGISED, FULL, ["over"]];

type Both<T> = readonly [T | undefined, T | undefined];

class Pair {
  /** Names of what was asked so far and not answered to the end. */
  readonly open = new Set<string>();
  readonly loads: readonly Both<Load>[];
  readonly contacts: readonly Both<Contact>[];
  private readonly one: Machine;
  private readonly two: Machine;
  private readonly forth: ReadonlyMap<ControlId, ControlMatch>;
  private readonly back: ReadonlyMap<ControlId, ControlMatch>;
  private possible: Region | undefined;
  /** The same without what only follows: it would make every load of a state new in which a valve now opens. */
  private readonly forthOfLoads: ReadonlyMap<ControlId, ControlMatch>;
  private readonly backOfLoads: ReadonlyMap<ControlId, ControlMatch>;

  constructor(
    private readonly base: Engine,
    private readonly changed: Engine,
    private readonly renames: ReadonlyMap<string, string>,
  ) {
    this.one = base.circuit.machine;
    this.two = changed.circuit.machine;
    this.loads = this.paired(this.one.loads, this.two.loads);
    this.contacts = this.paired(this.one.contacts, this.two.contacts);
    const forth = new Map<ControlId, ControlMatch>();
    const back = new Map<ControlId, ControlMatch>();
    for (const [a, b] of this.paired(this.one.controls, this.two.controls)) {
      if (!a || !b) continue;
      const at = (from: typeof a, to: typeof a) =>
        from.positions.map(({ name }) => {
          const index = to.positions.findIndex((other) => other.name === name);
          return index < 0 ? undefined : index;
        });
      forth.set(a.id, { control: b.id, positions: at(a, b) });
      back.set(b.id, { control: a.id, positions: at(b, a) });
    }
    this.forth = forth;
    this.back = back;
    const idle = [idleControls(this.one), idleControls(this.two)] as const;
    const decides = (one: ControlId, two: ControlId) => !(idle[0].has(one) && idle[1].has(two));
    this.forthOfLoads = new Map([...forth].filter(([one, { control: two }]) => decides(one, two)));
    this.backOfLoads = new Map([...back].filter(([two, { control: one }]) => decides(one, two)));
  }

  /** A name, or a sentence with names, of the base as the changed machine has it. */
  named(text: string, machine: Machine): string {
    if (machine !== this.one) return text;
    let result = text;
    for (const [from, to] of this.renames)
      result = result.replace(new RegExp(`(?<![\\w.])${escaped(from)}(?![\\w-])`, "g"), () => to);
    return result;
  }

  private paired<T extends { readonly name: string }>(one: readonly T[], two: readonly T[]): Both<T>[] {
    const rest = new Map(two.map((each) => [each.name, each]));
    const pairs = one.map((each): Both<T> => {
      let name = each.name;
      for (const [from, to] of this.renames) name = renamedText(name, from, to);
      const other = rest.get(name);
      rest.delete(name);
      return [each, other];
    });
    return [...pairs, ...[...rest.values()].map((each): Both<T> => [undefined, each])];
  }

  /** States of the changed machine that are in `b` and were not in `a`. */
  gained(a: Region, b: Region): Region {
    return less(this.changed, b, this.changed.translated!(a, this.forth));
  }

  /** The same of states in which a load is energised. */
  private gainedOn(a: Region, b: Region): Region {
    return less(this.changed, b, this.changed.translated!(a, this.forthOfLoads));
  }

  private lostOn(a: Region, b: Region): Region {
    return less(this.base, a, this.base.translated!(b, this.backOfLoads));
  }

  /** States of the base whose inputs (what does not follow from the circuit) stand as they can in the changed machine. */
  private stillPossible(): Region {
    this.possible ??= this.base.translated!(this.changed.all(), inputsOf(this.two, this.one, this.back));
    return this.possible;
  }

  loadChange(a: Load | undefined, b: Load | undefined): LoadChange | undefined {
    const says = (engine: Engine, load: Load) => {
      const condition = readableCondition(engine, energised(engine, load.id));
      return condition ? describeCondition(engine.circuit.machine, condition) : "in more ways than can be told";
    };
    if (!a) return b && { load: loadName(this.two, b.id), change: "new", after: says(this.changed, b) };
    // Nobody misses what never worked.
    if (!b && this.base.isEmpty(energised(this.base, a.id))) return undefined;
    if (!b) return { load: loadName(this.one, a.id), change: "gone", before: says(this.base, a) };
    let gained: ShownState | undefined;
    let lost: ShownState | undefined;
    for (const classes of STRENGTHS) {
      const [x, y] = [this.base.when(a.id, classes), this.changed.when(b.id, classes)];
      gained ??= shownIn(this.changed, this.gainedOn(x, y));
      lost ??= shownIn(this.base, this.lostOn(x, y));
    }
    const most = (engine: Engine, load: Load) => {
      const found = engine.extreme({ of: "load-watts", load: load.id }, engine.all());
      if (isCutShort(found)) this.open.add(loadName(this.two, b.id));
      return found.largest?.value ?? 0;
    };
    const watts = [most(this.base, a), most(this.changed, b)] as const;
    const other = !sameAmount(...watts);
    if (!gained && !lost && !other) return undefined;
    const [before, after] = [says(this.base, a), says(this.changed, b)];
    const missed = () => {
      const regions = STRENGTHS.map((classes) =>
        this.lostOn(this.base.when(a.id, classes), this.changed.when(b.id, classes)),
      );
      return !this.base.isEmpty(this.base.and(anyOf(this.base, regions), this.stillPossible()));
    };
    return {
      load: loadName(this.two, b.id),
      change: "changed",
      before,
      after,
      ...(gained && { gained }),
      ...(lost && { lost }),
      ...(lost && !missed() && { unmissed: true as const }),
      ...(other && { watts }),
    };
  }

  /** Devices that were in series whenever the load is energised and are not any more, and the other way round. */
  protection(a: Load, b: Load): ProtectionChange[] {
    const bare = (engine: Engine, contact: Contact | undefined, load: Load): Region => {
      const on = energised(engine, load.id);
      return contact ? less(engine, on, engine.inSeries(contact.id, load.id)) : on;
    };
    return this.contacts.flatMap(([x, y]): ProtectionChange[] => {
      const { role, id } = x ?? y!;
      const unsaid = role === "switching" ? namedGuardOf(y ? this.two : this.one, (y ?? x)!, y ? b : a) : undefined;
      if (role === "switching" && !unsaid) return [];
      const [before, after] = [bare(this.base, x, a), bare(this.changed, y, b)];
      const works = (engine: Engine, load: Load) => !engine.isEmpty(energised(engine, load.id));
      if (!works(this.base, a) || !works(this.changed, b)) return [];
      const [always, still] = [this.base.isEmpty(before), this.changed.isEmpty(after)];
      if (always === still) return [];
      const state = always ? shownIn(this.changed, after) : shownIn(this.base, before);
      const device = contactName(x ? this.one : this.two, id);
      return [
        {
          load: loadName(this.two, b.id),
          device,
          role,
          ...(unsaid === "burner control" && { unsaid }),
          change: always ? "lost" : "gained",
          ...(state && { state }),
        },
      ];
    });
  }

  contactChanges(a: Contact | undefined, b: Contact | undefined): ContactChange[] {
    return (["carries", "makes", "breaks"] as const).flatMap((of): ContactChange[] => {
      const worst = (engine: Engine, contact: Contact | undefined) =>
        contact && engine.extreme({ of, contact: contact.id } as Quantity, engine.all());
      const found = { before: worst(this.base, a), after: worst(this.changed, b) };
      const atLeast = (["before", "after"] as const).filter((when) => found[when] && isCutShort(found[when]));
      if (atLeast.length > 0) this.open.add(b ? contactName(this.two, b.id) : contactName(this.one, a!.id));
      const [x, y] = [found.before?.largest, found.after?.largest];
      const amount = [a && (x?.value ?? 0), b && (y?.value ?? 0)] as const;
      if (sameAmount(amount[0] ?? 0, amount[1] ?? 0)) return [];
      const [engine, extreme] = y && y.value > (x?.value ?? 0) ? [this.changed, y] : [this.base, x];
      return [
        {
          contact: b ? contactName(this.two, b.id) : contactName(this.one, a!.id),
          act: of,
          ...(amount[0] !== undefined && { before: amount[0] }),
          ...(amount[1] !== undefined && { after: amount[1] }),
          ...(atLeast.length > 0 && { atLeast }),
          ratings: (b ?? a!).ratings.map(({ text }) => text),
          ...(extreme && { state: shownAfter(engine, extreme.before, extreme.state) }),
        },
      ];
    });
  }

  bridged(): BridgedContact[] {
    const tied = (engine: Engine, { a, b }: Contact) => engine.circuit.jointOf[a] === engine.circuit.jointOf[b];
    let freed: Load[] | undefined;
    return this.contacts.flatMap(([a, b]): BridgedContact[] => {
      if (!a || !b || tied(this.base, a) || !tied(this.changed, b)) return [];
      const guards = guardsOn(this.two, b);
      freed ??= this.freed();
      const unsaid = guards.length > 0 ? undefined : this.unsaid(a, b, freed);
      return [
        {
          contact: contactName(this.two, b.id),
          role: b.role,
          guards: guards.map(({ hazard, part }) => hazard || this.two.parts[part]!.name),
          frees: freed.map(({ id }) => loadName(this.two, id)),
          ...(unsaid && { unsaid }),
          ...(this.isHarmless(a, freed) && { harmless: true as const }),
        },
      ];
    });
  }

  /** Also where another switch still keeps the load off: of two door switches each is there for the failure of the other. */
  private unsaid(a: Contact, b: Contact, frees: readonly Load[]): BridgedContact["unsaid"] {
    const held = this.one.loads.filter(({ id }) => !this.base.isEmpty(this.base.inSeries(a.id, id)));
    return [
      ...frees.map((load) => namedGuardOf(this.two, b, load)),
      ...held.map((load) => namedGuardOf(this.one, a, load)),
    ].find((word) => word !== undefined);
  }

  private isHarmless({ id, role }: Contact, freed: readonly Load[]): boolean {
    if (role !== "thermostat" || freed.length > 0) return false;
    return this.one.loads.every(
      (load) => !canHurt(this.one, load) || this.base.isEmpty(this.base.inSeries(id, load.id)),
    );
  }

  /** What moves, heats or burns and is energised in a state in which it was not. */
  private freed(): Load[] {
    // A relay that stands otherwise by what was bridged makes no other state of what it does not feed.
    const withoutRelays = new Map(
      [...this.forth].filter(([id]) => {
        const { settled, role } = this.one.controls[id]!;
        return !settled || role === "motor";
      }),
    );
    return this.loads.flatMap(([a, b]) =>
      a !== undefined &&
      b !== undefined &&
      canHurt(this.two, b) &&
      !this.changed.isEmpty(
        less(
          this.changed,
          energised(this.changed, b.id),
          this.changed.translated!(energised(this.base, a.id), withoutRelays),
        ),
      )
        ? [b]
        : [],
    );
  }

  /** What moves or heats and now needs no start. */
  *selfStarts(): Generator<void, SelfStart[]> {
    const inputs = inputsOf(this.one, this.two, this.forth);
    const found: SelfStart[] = [];
    for (const [a, b] of this.loads) {
      if (!a || !b || !canHurt(this.two, b)) continue;
      const state = selfStart(this.base, this.changed, [a, b], inputs);
      const resting = state ? undefined : onAtRest(this.base, this.changed, [a, b]);
      if (state) found.push({ load: loadName(this.two, b.id), state });
      else if (resting) found.push({ load: loadName(this.two, b.id), resting: true, state: resting });
      yield;
    }
    return found;
  }

  newShort(): ShownState | undefined {
    return shownIn(this.changed, this.gained(this.base.shorted(), this.changed.shorted()));
  }
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
}
