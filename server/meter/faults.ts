/** Everything that can be wrong with one thing of a machine, each as changes of the one circuit. */
import type { Place } from "../base/place.ts";
import { contactName, loadName } from "../checks/words.ts";
import type { Override } from "../circuit/circuit.ts";
import { caseTerminal } from "../circuit/network.ts";
import type { ContactId, ControlId, LoadId, Machine, PartId, WireId } from "../machine/machine.ts";
import type { Duty } from "./duty.ts";
import type { Trouble } from "./settle.ts";
import { contactOdds, dutyFactors, type FaultKind, loadOdds, otherOdds, wireOdds } from "./tables/priors.ts";

export type { FaultKind } from "./tables/priors.ts";

export interface Fault {
  /** Index in the list of faults. */
  readonly id: number;
  readonly kind: FaultKind;
  readonly part: PartId;
  readonly contact?: ContactId;
  readonly load?: LoadId;
  readonly wire?: WireId;
  readonly control?: ControlId;
  /** `TM.heat never makes`: what is wrong. */
  readonly words: string;
  /** The name that drawings and readings use: `TM.heat`, `HT`. */
  readonly name: string;
  readonly place: Place;
  /** Odds against the other faults. */
  readonly odds: number;
  /** Why it is likelier than others of its kind. */
  readonly because?: string;
  /** What it may look like; each as likely as the others. */
  readonly looks: readonly Trouble[];
  /** Its size is anybody's guess: what it changes may read anything within this factor (log10). */
  readonly spread?: number;
  /** The timer's own motor turns, but not its cams. */
  readonly standsStill?: boolean;
}

/** Ohms of a burnt contact that still makes: a fifth of a heater's, and as good as open for it. */
const badContactOhms = [4, 60] as const;
/** Where along a heater or winding it may touch, and through what. */
const caseShares = [0.1, 0.3, 0.5, 0.7, 0.9] as const;
const caseOhms = 0.1;
/** A winding whose turns are shorted keeps this share of its ohms, or nothing. */
const shortedShares = [0, 0.3] as const;

/** Every single fault, in text order within its kind. */
export function listFaults(
  machine: Machine,
  duty: (contact: ContactId) => Duty | undefined = () => undefined,
): Fault[] {
  const faults: Fault[] = [];
  const add = (fault: Omit<Fault, "id">): void => {
    faults.push({ ...fault, id: faults.length });
  };
  addContacts(machine, duty, add);
  addLoads(machine, add);
  addStuck(machine, add);
  addWires(machine, add);
  for (const { name, terminal, role, volts } of machine.supply.legs) {
    if (role === "protective") continue;
    add({
      kind: "leg-lost",
      part: machine.supply.part,
      words: `${name} does not arrive (outlet, breaker or cord)`,
      name,
      place: machine.supply.place,
      odds: otherOdds.legLost * (Math.hypot(volts.re, volts.im) > 0 ? 1 : 0.5),
      looks: [{ overrides: { lostLegs: [terminal] } }],
    });
  }
  return faults;
}

type Add = (fault: Omit<Fault, "id">) => void;

function contactLook(contact: ContactId, override: Override): Trouble {
  return { overrides: { contacts: new Map([[contact, override]]) } };
}

function addContacts(machine: Machine, duty: (contact: ContactId) => Duty | undefined, add: Add): void {
  for (const contact of machine.contacts) {
    const odds = contactOdds[contact.role];
    const found = duty(contact.id);
    const worn =
      found === undefined
        ? 1
        : found.share > 1
          ? dutyFactors.over
          : found.share >= dutyFactors.nearlyFrom
            ? dutyFactors.nearly
            : 1;
    const because = worn > 1 ? { because: found!.words } : {};
    const common = { part: contact.part, contact: contact.id, name: contact.name, place: contact.namePlace };
    const name = contactName(machine, contact.id);
    add({
      ...common,
      ...because,
      kind: "contact-open",
      words: `${name} ${openWords[contact.role] ?? "never makes"}`,
      odds: odds.open * worn,
      looks: [contactLook(contact.id, { as: "open" })],
    });
    add({
      ...common,
      ...because,
      kind: "contact-bad",
      words: `${name} makes badly (burnt, some ohms)`,
      odds: odds.bad * worn,
      spread: 0.6,
      looks: badContactOhms.map((ohms) => contactLook(contact.id, { as: "ohms", ohms })),
    });
    add({
      ...common,
      ...(worn > 1 && found!.share > 1 ? because : {}),
      kind: "contact-welded",
      words: `${name} never opens (welded)`,
      odds: odds.welded * (found && found.share > 1 ? dutyFactors.weldOver : 1),
      looks: [contactLook(contact.id, { as: "closed" })],
    });
  }
}

const openWords: Readonly<Partial<Record<string, string>>> = {
  link: "has opened",
  limit: "is open and does not come back",
  fuse: "has blown",
  "built-in-protector": "is open",
  overload: "is open",
  thermostat: "stays open",
};

function addLoads(machine: Machine, add: Add): void {
  for (const load of machine.loads) {
    const odds = loadOdds[load.kind];
    const common = { part: load.part, load: load.id, name: load.name, place: load.namePlace };
    const name = loadName(machine, load.id);
    const look = (override: Override): Trouble => ({ overrides: { loads: new Map([[load.id, override]]) } });
    add({ ...common, kind: "load-open", words: `${name} is open`, odds: odds.open, looks: [look({ as: "open" })] });
    const ohms = load.meterOhms?.ohms ?? load.impedance.find((z) => z)?.re ?? 0;
    const wound = load.kind !== "capacitor" && load.kind !== "diode" && load.kind !== "lamp" && ohms > 0;
    add({
      ...common,
      kind: "load-shorted",
      words: `${name} is shorted`,
      odds: odds.shorted,
      spread: 0.3,
      looks: (wound ? shortedShares : [0]).map((share) =>
        look(share === 0 ? { as: "closed" } : { as: "ohms", ohms: share * ohms }),
      ),
    });
    if (caseTerminal(machine, load.part) === undefined) continue;
    const spiral =
      load.kind === "heater" || load.kind === "igniter" || load.kind === "winding" || load.kind === "start-winding";
    add({
      ...common,
      kind: "load-to-case",
      words: `${name} touches its case`,
      odds: odds.toCase,
      spread: 0.15,
      looks: (spiral ? caseShares : [0.1, 0.9]).map((share) => look({ as: "to-case", share, ohms: caseOhms })),
    });
  }
}

/** Things that move and no longer do, where that is more than one contact's fault. */
function addStuck(machine: Machine, add: Add): void {
  for (const control of machine.controls) {
    const part = machine.parts[control.part]!;
    const label = part.label === undefined ? control.name : `${control.name} (${part.label})`;
    const common = { part: control.part, control: control.id, name: control.name, place: control.place };
    const held = (position: number): Trouble => ({ held: new Map([[control.id, position]]) });
    const stuck = (odds: number, words: (position: string) => string): void => {
      control.positions.forEach(({ name }, position) => {
        add({
          ...common,
          kind: "stuck",
          words: words(name),
          odds: odds / control.positions.length,
          looks: [held(position)],
        });
      });
    };
    const follows = machine.contacts.filter(({ closed }) =>
      closed.some((clause) => clause.some((one) => one.control === control.id)),
    );
    if (control.role === "motor") {
      if (part.contacts.length > 0 || part.loads.length > 0)
        add({
          ...common,
          kind: "seized",
          words: `${label} does not turn although fed (seized, belt, load)`,
          odds: otherOdds.seized,
          looks: [{ seized: [control.id] }],
        });
    } else if (control.role === "relay" || control.role === "valve")
      stuck(otherOdds.relayStuck, (position) => `${label} stays ${position} whatever its coil does`);
    else if (control.role === "level")
      stuck(
        otherOdds.levelStuck,
        (position) => `${label} feels ${position} whatever the water does (hose, bell, diaphragm)`,
      );
    else if ((control.role === "switch" || control.role === "selector") && follows.length > 1)
      stuck(otherOdds.stuck, (position) => `${label} stays at ${position} (lever, shaft)`);
  }
  for (const { part, drive } of machine.programs) {
    if (drive === undefined) continue;
    const load = machine.loads[drive]!;
    add({
      kind: "not-turning",
      part,
      load: drive,
      name: load.name,
      words: `${loadName(machine, drive)} has its volts but does not turn the cams (gears)`,
      place: load.namePlace,
      odds: otherOdds.notTurning,
      looks: [{}],
      standsStill: true,
    });
  }
}

function addWires(machine: Machine, add: Add): void {
  for (const { id, a, b, kind, place } of machine.wires) {
    const [from, to] = [machine.terminals[a]!, machine.terminals[b]!];
    const part = machine.parts[from.part]!;
    const pin = kind === "internal" && part.kind === "connector";
    if (kind === "internal" && !pin) continue;
    add({
      kind: "wire-open",
      part: from.part,
      wire: id,
      name: `${from.fullName} to ${to.fullName}`,
      words: pin
        ? `${part.name}: the pin from ${from.fullName} to ${to.fullName} is open`
        : `the ${kind === "wire" ? "wire" : kind} from ${from.fullName} to ${to.fullName} is open (break, crimp, burnt terminal)`,
      place,
      odds: pin ? wireOdds.pin : kind === "wire" ? wireOdds.wire : wireOdds.bond,
      looks: [{ overrides: { wires: new Map([[id, { as: "open" }]]) } }],
    });
  }
}

/** Two faults at once: every pairing of their looks that matters, the first look of each where there are many. */
export function joinTroubles(one: Trouble, other: Trouble): Trouble {
  const merge = <K, V>(a?: ReadonlyMap<K, V>, b?: ReadonlyMap<K, V>) => (a && b ? new Map([...a, ...b]) : (a ?? b));
  const [p, q] = [one.overrides, other.overrides];
  const overrides =
    p && q
      ? {
          contacts: merge(p.contacts, q.contacts),
          loads: merge(p.loads, q.loads),
          wires: merge(p.wires, q.wires),
          added: [...(p.added ?? []), ...(q.added ?? [])],
          lostLegs: [...(p.lostLegs ?? []), ...(q.lostLegs ?? [])],
        }
      : (p ?? q);
  return {
    ...(overrides ? { overrides } : {}),
    held: merge(one.held, other.held),
    seized: [...(one.seized ?? []), ...(other.seized ?? [])],
  };
}
