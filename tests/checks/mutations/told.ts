/** A finding as a fact, `<id> <subject>`: the part, load or contact whose name stands at its place. */
import type { Finding } from "../../../server/base/finding.ts";
import type { Machine } from "../../../server/machine/machine.ts";

export function told(machine: Machine, finding: Finding): string[] {
  const { id } = finding;
  const at = (place: { readonly from: number } | undefined): boolean => place?.from === finding.place.from;
  const load =
    machine.loads.find((l) => at(l.namePlace) && finding.what.startsWith(l.name)) ??
    machine.loads.find((l) => at(l.namePlace));
  const contact =
    machine.contacts.find((c) => at(c.namePlace) && finding.what.startsWith(c.name)) ??
    machine.contacts.find((c) => at(c.namePlace));
  const part = machine.parts.find((p) => at(p.namePlace));
  const fact = (subject: string | undefined): string[] => [`${id} ${subject ?? "?"}`];
  switch (id) {
    case "load-without-protector":
    case "weld-defeats-protector":
    case "opposed-loads":
      return fact(load && machine.parts[load.part]!.name);
    case "gas-unlit":
    case "reverses-without-pause":
      return fact(load ? machine.parts[load.part]!.name : part?.name);
    case "wrong-voltage":
    case "start-winding-stays":
    case "load-never-energised":
    case "always-energised":
    case "capacitor-volts":
    case "capacitor-holds-charge":
      return fact(load?.name);
    case "series-feed":
    case "back-feed":
    case "load-weak":
      return [...fact(load?.name), `weak ${load?.name}`];
    case "meant-volts-untrue":
      // At the words `also at` and `through` themselves.
      return fact(machine.loads.find((l) => [...l.alsoAt, ...l.through].some(({ place }) => at(place)))?.name);
    case "earth-as-return":
      return fact(load?.name ?? part?.name);
    case "guard-defeated":
      return fact(machine.parts[machine.guards.find((g) => at(g.place))?.part ?? -1]?.name);
    case "neutral-side-switch":
      if (at(machine.supply.place)) return fact("the plug");
      return fact(part?.name ?? (contact && machine.parts[contact.part]!.name));
    case "contact-over-rating":
      return fact(contact?.name);
    case "breaker-size":
    case "breaker-too-large":
      return fact(at(machine.supply.place) ? "the supply" : contact?.name);
    case "case-fault":
      return fact(at(machine.supply.place) ? "the plug" : load?.name);
    case "motor-cannot-start":
    case "guard-not-written":
      return fact(part?.name);
    case "step-unreachable": {
      const control = machine.controls.find(({ positions }) => positions.some(({ place }) => at(place)));
      return fact(control ? machine.parts[control.part]!.name : part?.name);
    }
    case "timer-stuck":
      return fact(machine.parts[machine.programs.find((p) => at(p.place))?.part ?? -1]?.name);
    case "expectation":
      return fact(`${machine.expectations.findIndex(({ place }) => at(place))}`);
    default:
      return [id];
  }
}
