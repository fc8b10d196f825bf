/** Heaters that lose the air that was blown over them: a fan that ran whenever they heated, and may stand still now. */
import type { ShownState } from "../base/finding.ts";
import { anyOf, energised, FULL, less, position, shownIn } from "../checks/ask.ts";
import { canBurn, movesAir } from "../checks/hazards.ts";
import { loadName } from "../checks/words.ts";
import type { Load, Machine } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";

export interface LostAir {
  /** As sentences name it; of the base where it is gone. */
  readonly fan: string;
  readonly heaters: readonly string[];
  /** What they do. */
  readonly does: "heat" | "burn";
  /** It gets some volts wherever they heat, and not enough of them. */
  readonly slow?: true;
  /** A state in which one of them heats and the fan stands still. */
  readonly state?: ShownState;
}

type Both = readonly [Load | undefined, Load | undefined];

/** Fans of the base without which something heats now that never did; where a new fan blows whenever it heats, nothing is lost. */
export function lostAir(base: Engine, changed: Engine, loads: readonly Both[]): LostAir[] {
  const [one, two] = [base.circuit.machine, changed.circuit.machine];
  const heaters = loads.filter(([a, b]) => a && b && canBurn(one, a) && canBurn(two, b));
  const added = loads.flatMap(([a, b]) => (!a && b && movesAir(two, b) ? [b] : []));
  return loads.flatMap(([fan, now]): LostAir[] => {
    if (!fan || !movesAir(one, fan)) return [];
    const still = less(changed, changed.all(), now ? blows(changed, now) : changed.none());
    const bare = heaters.flatMap(([a, b]) => {
      const before = energised(base, a!.id);
      if (base.isEmpty(before) || !base.isEmpty(less(base, before, blows(base, fan)))) return [];
      const on = energised(changed, b!.id);
      const without = changed.and(on, still);
      const covered = added.some((each) => changed.isEmpty(less(changed, on, blows(changed, each))));
      return covered || changed.isEmpty(without) ? [] : [{ heater: loadName(two, b!.id), kind: b!.kind, without }];
    });
    if (bare.length === 0) return [];
    const without = anyOf(
      changed,
      bare.map((each) => each.without),
    );
    const dead = now ? less(changed, without, energised(changed, now.id)) : without;
    const slow = changed.isEmpty(dead);
    const state = shownIn(changed, slow ? without : dead);
    return [
      {
        fan: now ? loadName(two, now.id) : loadName(one, fan.id),
        heaters: bare.map(({ heater }) => heater),
        does: bare.every(({ kind }) => kind === "heater") ? ("heat" as const) : ("burn" as const),
        ...(slow && { slow: true as const }),
        ...(state && { state }),
      },
    ];
  });
}

/** States in which it turns: by its motion, where the machine follows that, else by its volts. */
function blows(engine: Engine, load: Load): Region {
  const { machine } = engine.circuit;
  const motor = motorOf(machine, load);
  if (!motor) return engine.when(load.id, FULL);
  const turning = motor.positions.flatMap((_, at) => (at < 2 ? [] : [position(machine, motor.id, at)]));
  return engine.where(turning.map((positions) => [{ control: motor.id, positions }]));
}

function motorOf({ controls }: Machine, { control }: Load): Machine["controls"][number] | undefined {
  const own = control === undefined ? undefined : controls[control];
  return own?.role === "motor" ? own : undefined;
}
