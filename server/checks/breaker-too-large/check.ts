/** A breaker or fuse much larger than what it feeds: it stands a fault that it should open on. */
import type { Contact, Load } from "../../machine/machine.ts";
import type { Engine, Extreme, Extremes } from "../../states/engine.ts";
import { coversAll, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { drawsAllThatItCan, largestLegAmps, mayDrawMore, notHumming } from "../currents.ts";
import { dutyOf, fedBy } from "../fed-by.ts";
import { groupsOf } from "../opposed.ts";
import {
  applianceLeadAmps,
  LOAD_FUSE_SHARE,
  largestBreaker,
  MOTOR_FUSE_SHARE,
  SMALL_FUSES,
  standardSizes,
} from "../tables/conductors.ts";
import { cutShortWords, isProved, mostOf, rangeInWords } from "../unproved.ts";
import { amps, contactName, list, loadName, related, relatedOnce, terminalName } from "../words.ts";

export const breakerTooLarge: Check = {
  id: "breaker-too-large",
  gravity: "information",
  title: "A breaker or fuse much larger than what it feeds",
  *run({ engine, machine, report }) {
    if (!coversAll(engine) || !machine.supply.stated) return;
    const { supply } = machine;
    const care = notHumming(engine);
    // A load that is never fed, or draws an amount that nobody knows, may be what the breaker or fuse is there for.
    const all = drawsAllThatItCan(engine, care);
    const draws = supply.breakerAmps === undefined || !all ? undefined : largestLegAmps(engine, care);
    yield;
    if (draws && mostOf(draws) > 0) {
      const rated = supply.breakerAmps!;
      const found = draws.largest && draws.largest.value > 0 ? draws.largest : undefined;
      const most = largestBreaker(mostOf(draws), supply.frequency);
      if (found && rated > most)
        report({
          place: supply.place,
          what: `The breaker is rated ${amps(rated)}, and the machine draws ${amps(mostOf(draws))} at most; ${amps(most)} would be enough.`,
          why: "A fault inside that draws less than the breaker stands goes on burning, in a cord and leads that are not made for it. (NEC 422.11(E), from memory; written for appliances without motors.)",
          advice:
            "Look at the plate of the machine: the breaker or fuse that it names must not be exceeded. Follow the local code.",
          state: shown(engine, found.state),
          related: machine.loads
            .filter(({ id }) => onIn(engine, id, found))
            .slice(0, 6)
            .map((load) => related(load.namePlace, `${load.name} is on in this state`)),
        });
      else if (!isProved(draws) && rated > largestBreaker(found?.value ?? 0, supply.frequency))
        report({
          ...cutShortWords(
            `It could not be judged to the end whether the breaker, rated ${amps(rated)}, is larger than the machine needs: it draws ${rangeInWords(draws, amps)}.`,
          ),
          place: supply.place,
          related: [],
        });
    }
    for (const fuse of machine.contacts) {
      if (fuse.role !== "fuse" && fuse.role !== "breaker") continue;
      const size = fuse.ratings.find(({ amps: a }) => a !== undefined)?.amps;
      if (size === undefined) continue;
      yield;
      const carried = engine.extreme({ of: "carries", contact: fuse.id }, care);
      if (!isProved(carried)) {
        tellOpen(fuse, size, carried);
        continue;
      }
      const most = carried.largest;
      if (!most || !(most.value > 0)) continue;
      const loads = fedBy(engine, fuse.id, most.state).loads.map((id) => machine.loads[id]!);
      if (loads.length === 0 || loads.some(mayDrawMore)) continue;
      const thin = thinWires(engine, fuse, most, size);
      const enough = largestFuse(most.value, loads, supply.frequency);
      if (thin.length > 0)
        report({
          gravity: "warning",
          place: fuse.namePlace,
          what: `${contactName(machine, fuse.id)} is rated ${amps(size)}, more than the ${thin[0]!.text} wire behind it stands (${amps(thin[0]!.amps)}).`,
          why: "An overload chars the wire before the fuse opens.",
          advice: `Fit a fuse of at most ${amps(thin[0]!.amps)} that still holds the ${amps(most.value)} it carries, or thicker wire.`,
          state: shown(engine, most.state),
          related: relatedOnce(
            fuse.namePlace,
            thin.map(({ place, text }) => related(place, `${text} wire behind ${fuse.name}`)),
          ),
        });
      else if (all && size > enough)
        report({
          place: fuse.namePlace,
          what: `${contactName(machine, fuse.id)} is rated ${amps(size)} and carries ${amps(most.value)} at most; ${amps(enough)} would be enough.`,
          why: `It still opens on a short, but not on a fault in ${list(loads.map(({ id }) => loadName(machine, id)))} that draws less.`,
          advice: "Compare it with the fuse that the maker names; never go above that.",
          state: shown(engine, most.state),
          related: relatedOnce(
            fuse.namePlace,
            loads.map((load) => related(load.namePlace, `fed through ${fuse.name}`)),
          ),
        });
    }

    /** How much flows through it, and behind it to which loads, is not known in every state. */
    function tellOpen(fuse: Contact, size: number, carried: Extremes): void {
      const thin = machine.wires.some(({ area, insulation, kind }) => {
        const limit = kind === "wire" && area !== undefined ? applianceLeadAmps(area, insulation) : undefined;
        return limit !== undefined && limit.amps < size;
      });
      if (!thin && !(all && size > largestFuse(carried.largest?.value ?? 0, [], supply.frequency))) return;
      report({
        ...cutShortWords(
          `It could not be judged to the end whether ${contactName(machine, fuse.id)}, rated ${amps(size)}, is larger than what is behind it stands or needs: it carries ${rangeInWords(carried, amps)}.`,
        ),
        place: fuse.namePlace,
        related: [],
      });
    }

    function thinWires(of: Engine, fuse: Contact, { state }: Extreme, size: number) {
      const { circuit } = of;
      const groups = groupsOf(of, (id) => id !== fuse.id && of.has(of.closed(id), state));
      const ahead = machine.supply.legs.map((_, leg) => groups[circuit.legJoint[leg]!]);
      const behind = [fuse.a, fuse.b].map((t) => circuit.jointOf[t]!).filter((joint) => !ahead.includes(groups[joint]));
      return machine.wires
        .filter(({ a, area, kind }) => kind === "wire" && area !== undefined && behind.includes(circuit.jointOf[a]!))
        .flatMap((wire) => {
          const limit = applianceLeadAmps(wire.area!, wire.insulation);
          return limit && limit.amps < size
            ? [{ amps: limit.amps, text: wire.sizeText ?? terminalName(machine, wire.a), place: wire.place }]
            : [];
        });
    }
  },
};

function onIn(engine: Engine, load: number, { state }: Extreme): boolean {
  const { re, im } = engine.solve(state).loadAmps;
  return Math.hypot(re[load]!, im[load]!) > 0.1;
}

/** The next fuse above three times a motor's current, or one and a half times that of other loads. */
function largestFuse(carries: number, loads: readonly Load[], frequency: number): number {
  const share = loads.some((load) => dutyOf(load) === "motor") ? MOTOR_FUSE_SHARE.value : LOAD_FUSE_SHARE.value;
  const wanted = carries * share;
  return (
    [...SMALL_FUSES.value, ...standardSizes(frequency)].sort((a, b) => a - b).find((size) => size >= wanted) ?? wanted
  );
}
