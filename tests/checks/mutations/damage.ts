/** Ways to damage a machine mechanically: every single edit of each kind that the machine has room for. */
import { type Edit, edit } from "../../../server/machine/edit.ts";
import type { Condition, Contact, Expectation, Guard, Machine, RatingPoint } from "../../../server/machine/machine.ts";

export interface Damage {
  readonly kind: string;
  readonly words: string;
  readonly edits: readonly Edit[];
  /** What the writer says, which no edit of the machine changes. */
  readonly expectations?: readonly Expectation[];
  readonly guards?: readonly Guard[];
}

export function damaged(machine: Machine, { edits, expectations, guards }: Damage): Machine {
  const changed = edit(machine, edits);
  return { ...changed, ...(expectations && { expectations }), ...(guards && { guards }) };
}

const THERMAL = ["limit", "link", "overload", "built-in-protector", "thermostat"];

export function damages(machine: Machine): Damage[] {
  return [
    ...machine.contacts.flatMap((contact) => contactDamages(machine, contact)),
    ...machine.loads.flatMap((_, id) => loadDamages(machine, id)),
    ...wireDamages(machine),
    ...partDamages(machine),
    ...supplyDamages(machine),
    ...shorts(machine),
    ...changedPlaces(machine),
    ...statements(machine),
  ];
}

function contactDamages(machine: Machine, contact: Contact): Damage[] {
  const { id, a, b, name, ratings, closed, partner, role } = contact;
  const guards = new Set(
    machine.guards.flatMap(({ holds }) => holds.flatMap((clause) => clause.map(({ control }) => control))),
  );
  const guarding = closed.some((clause) => clause.some(({ control }) => guards.has(control)));
  const jump = THERMAL.includes(role) ? "jump a thermal device" : guarding ? "jump the guard" : "jump a contact";
  const found: Damage[] = [{ kind: jump, words: `${name} jumped`, edits: [{ edit: "join", a, b }] }];
  const change = (kind: string, words: string, to: Condition, more: readonly Edit[] = []): void => {
    found.push({
      kind,
      words: `${name} ${words}`,
      edits: [{ edit: "change-contact", contact: id, closed: to }, ...more],
    });
  };
  const other: Edit[] = partner === undefined ? [] : [{ edit: "change-contact", contact: partner, closed: [] }];
  change("weld a contact", "welded", [[]], other);
  change("contact that never makes", "never makes", []);
  const literal = closed.length === 1 && closed[0]!.length === 1 ? closed[0]![0] : undefined;
  if (literal) {
    const { control, positions } = literal;
    change("contact written the wrong way round", "turned round", [
      [{ control, positions: positions.map((p) => 1 - p) }],
    ]);
    if (machine.programs.some((program) => program.control === control)) {
      const shifted = (by: number): Uint8Array =>
        positions.map((p, at) => (p === 1 || positions[at + by] === 1 ? 1 : 0));
      change("cam that closes a step early", "a step early", [[{ control, positions: shifted(1) }]]);
      change("cam that opens a step late", "a step late", [[{ control, positions: shifted(-1) }]]);
    }
  }
  const rate = (kind: string, words: string, to: (point: RatingPoint) => RatingPoint): void => {
    found.push({
      kind,
      words: `${name} ${words}`,
      edits: [{ edit: "change-rating", contact: id, ratings: ratings.map(to) }],
    });
  };
  if (role === "fuse") {
    for (const by of [0.1, 0.5])
      rate("undersize a fuse", `${by} of its amps`, (p) => ({ ...p, amps: times(p.amps, by) }));
    for (const by of [4, 20])
      rate("oversize a fuse", `${by} times its amps`, (p) => ({ ...p, amps: times(p.amps, by) }));
    rate("rate a fuse for fewer volts", "32 V", (p) => ({ ...p, volts: 32 }));
  } else if (ratings.length > 0) {
    for (const by of [0.5, 0.1, 0.01])
      rate("undersize a rating", `rated ${by} of its amps`, (p) => ({
        ...p,
        amps: times(p.amps, by),
        makes: times(p.makes, by),
        breaks: times(p.breaks, by),
      }));
    rate("undersize what it makes", "makes a hundredth", (p) => ({ ...p, makes: (p.makes ?? p.amps ?? 0) * 0.01 }));
    rate("undersize what it breaks", "breaks a hundredth", (p) => ({ ...p, breaks: (p.breaks ?? p.amps ?? 0) * 0.01 }));
    if (ratings.some(forMotors))
      for (const by of [0.5, 0.1])
        rate("undersize a motor mark", `motors ${by} of their amps`, (p) =>
          forMotors(p) ? { ...p, amps: times(p.amps, by), makes: times(p.makes, by), breaks: times(p.breaks, by) } : p,
        );
    rate("rate a contact for fewer volts", "rated 24 V", (p) => ({ ...p, volts: 24 }));
    found.push({
      kind: "forget a rating",
      words: `${name} not rated`,
      edits: [{ edit: "change-rating", contact: id, ratings: [] }],
    });
  }
  return found;
}

function forMotors({ duty }: RatingPoint): boolean {
  return duty === "motor" || duty === "horsepower";
}

function times(value: number | undefined, by: number): number | undefined {
  return value === undefined ? undefined : value * by;
}

function loadDamages(machine: Machine, id: number): Damage[] {
  const { name, kind, ratedVolts, alsoAt, through, capacitance, impedance, place } = machine.loads[id]!;
  const found: Damage[] = [
    { kind: "open a load", words: `${name} open`, edits: [{ edit: "change-load", load: id, impedance: undefined }] },
  ];
  const plate = (what: string, words: string, to: Extract<Edit, { edit: "change-plate" }>["plate"]): void => {
    found.push({ kind: what, words: `${name} ${words}`, edits: [{ edit: "change-plate", load: id, plate: to }] });
  };
  if (kind === "capacitor") {
    if (ratedVolts !== undefined)
      for (const by of [0.5, 0.2])
        plate("capacitor for fewer volts", `of ${by} the volts`, { ratedVolts: ratedVolts * by });
    if (capacitance !== undefined && impedance[0] !== undefined && impedance[0].re > 0)
      found.push({
        kind: "drop a bleed resistor",
        words: `${name} without its bleed resistor`,
        edits: [
          {
            edit: "change-load",
            load: id,
            impedance: { re: 0, im: -1 / (2 * Math.PI * machine.supply.frequency * capacitance) },
          },
        ],
      });
  } else if (ratedVolts !== undefined)
    for (const by of [0.5, 2, 4])
      plate("load for other volts", `made for ${ratedVolts * by} V`, { ratedVolts: ratedVolts * by });
  if (alsoAt.length > 0) {
    plate("untrue reduced volts", "also at other volts", {
      alsoAt: alsoAt.map((at) => ({ ...at, volts: at.volts * 0.6 })),
    });
    plate("reduced volts not written", "without also at", { alsoAt: [] });
  } else if (ratedVolts !== undefined && kind === "heater")
    plate("untrue reduced volts", "also at a third of its volts", { alsoAt: [{ volts: ratedVolts * 0.3, place }] });
  if (through.length > 0) plate("reduced volts not written", "without through", { through: [] });
  return found;
}

function wireDamages(machine: Machine): Damage[] {
  const name = (t: number): string => machine.terminals[t]!.fullName;
  const legs = machine.supply.legs.map(({ terminal }) => terminal);
  return machine.wires.flatMap((wire): Damage[] => {
    const { id, a, b, kind, area } = wire;
    if (kind === "internal") return [];
    const words = `${name(a)} to ${name(b)}`;
    const found: Damage[] = [
      {
        kind: kind === "bond" ? "remove a bond" : "remove a wire",
        words: `${words} gone`,
        edits: [{ edit: "remove-wire", wire: id }],
      },
    ];
    if (area !== undefined && kind === "wire")
      found.push({
        kind: "thin a wire",
        words: `${words} of 18 AWG`,
        edits: [{ edit: "change-wire", wire: id, size: { area: 0.823, insulation: undefined } }],
      });
    for (const end of [a, b])
      for (const to of machine.parts[machine.terminals[end]!.part]!.terminals)
        if (to !== end && !legs.includes(end))
          found.push({
            kind: "wire one terminal over",
            words: `${words} on ${name(to)}`,
            edits: [{ edit: "move-wire-end", wire: id, from: end, to }],
          });
    for (const end of [a, b])
      if (legs.includes(end) && kind === "wire")
        for (const to of legs)
          if (to !== end)
            found.push({
              kind: "wire on the wrong leg",
              words: `${words} on ${name(to)}`,
              edits: [{ edit: "move-wire-end", wire: id, from: end, to }],
            });
    return found;
  });
}

function partDamages(machine: Machine): Damage[] {
  const { parts, terminals, supply, controls } = machine;
  const found: Damage[] = [];
  const neutral = supply.legs.find(({ role }) => role === "neutral");
  for (const part of parts) {
    if (part.contacts.length + part.loads.length > 0)
      found.push({
        kind: "remove a part",
        words: `${part.name} gone`,
        edits: [{ edit: "remove-part", part: part.id }],
      });
    part.terminals.forEach((a, i) => {
      for (const b of part.terminals.slice(i + 1))
        found.push({
          kind: "swap terminals",
          words: `${terminals[a]!.fullName} and ${terminals[b]!.fullName} swapped`,
          edits: [{ edit: "swap-terminals", a, b }],
        });
    });
    if (part.frame !== undefined && neutral)
      found.push({
        kind: "strap metal to the neutral",
        words: `${part.name} strapped`,
        edits: [{ edit: "join", a: part.frame, b: neutral.terminal, as: "strap" }],
      });
  }
  for (const { id, name, settled, role, changes, positions } of controls) {
    if (settled || role === "supply") continue;
    found.push({
      kind: "control that is stuck",
      words: `${name} cannot be moved`,
      edits: [{ edit: "change-control", control: id, moves: { changes: [] } }],
    });
    if (changes && positions.length > 2)
      found.push({
        kind: "step that cannot be reached",
        words: `${name} never gets to its last position`,
        edits: [
          {
            edit: "change-control",
            control: id,
            moves: {
              changes: changes.map((rule) => ({
                ...rule,
                to: rule.to.map((p, at) => (at === positions.length - 1 ? 0 : p)),
              })),
            },
          },
        ],
      });
  }
  return found;
}

function supplyDamages({ supply, terminals }: Machine): Damage[] {
  const found: Damage[] = [];
  const change = (kind: string, words: string, to: Extract<Edit, { edit: "change-supply" }>["supply"]): void => {
    found.push({ kind, words, edits: [{ edit: "change-supply", supply: to }] });
  };
  const { breakerAmps, cord, wiring } = supply;
  if (breakerAmps !== undefined) {
    for (const by of [0.01, 0.1, 0.3])
      change("undersize the breaker", `breaker of ${by}`, { breakerAmps: breakerAmps * by });
    for (const by of [2, 4])
      change("oversize the breaker", `breaker of ${by} times`, { breakerAmps: breakerAmps * by });
    change("one-pole breaker", "breaker of one pole", { breakerPoles: 1 });
  }
  if (cord) change("thin cord or wiring", "cord of 18 AWG", { cord: { ...cord, area: 0.823, text: "18 AWG" } });
  if (wiring) change("thin cord or wiring", "wiring of 14 AWG", { wiring: { ...wiring, area: 2.08, text: "14 AWG" } });
  if (!supply.reversible) change("plug that fits both ways", "plug reversible", { reversible: true });
  for (const { terminal, role } of supply.legs)
    if (role !== "protective")
      found.push({
        kind: "leg that does not arrive",
        words: `${terminals[terminal]!.fullName} lost`,
        edits: [{ edit: "lose-leg", terminal }],
      });
  return found;
}

function shorts({ terminals, supply }: Machine): Damage[] {
  const found: Damage[] = [];
  const legs = supply.legs.map(({ terminal }) => terminal);
  for (let a = 0; a < terminals.length; a++)
    for (let b = a + 1; b < terminals.length; b++)
      found.push({
        kind: legs.includes(a) && legs.includes(b) ? "short two legs" : "short two connections",
        words: `${terminals[a]!.fullName} on ${terminals[b]!.fullName}`,
        edits: [{ edit: "join", a, b }],
      });
  return found;
}

/** A switch on the load's far side, a load behind another one. */
function changedPlaces(machine: Machine): Damage[] {
  const { contacts, loads } = machine;
  const found: Damage[] = [];
  const ways = (of: { a: number; b: number }): [number, number][] => [
    [of.a, of.b],
    [of.b, of.a],
  ];
  for (const c of contacts)
    for (const l of loads)
      for (const [far, near] of ways(c))
        for (const [head, tail] of ways(l))
          if (joined(machine, near, head) && c.role === "switching")
            found.push({
              kind: "move a switch past its load",
              words: `${c.name} behind ${l.name}`,
              edits: [
                { edit: "move-contact", contact: c.id, a: head, b: tail },
                { edit: "move-load", load: l.id, a: far, b: head },
              ],
            });
  for (const one of loads)
    for (const other of loads)
      if (one.id !== other.id && one.ratedVolts !== undefined && joined(machine, one.b, other.b))
        found.push({
          kind: "put a load in series with another",
          words: `${one.name} through ${other.name}`,
          edits: [{ edit: "move-load", load: one.id, a: one.a, b: other.a }],
        });
  return found;
}

function joined(machine: Machine, a: number, b: number): boolean {
  return a === b || machine.wires.some((w) => (w.a === a && w.b === b) || (w.a === b && w.b === a));
}

const CONTRARY: Readonly<Record<string, string>> = { works: "off", runs: "off", heats: "off", off: "works" };

function statements(machine: Machine): Damage[] {
  const { expectations, guards } = machine;
  const unsaid = guards.map(
    (guard): Damage => ({
      kind: "leave a guard unsaid",
      words: `nothing guards ${guard.hazard || machine.parts[guard.part]!.name}`,
      edits: [],
      guards: guards.filter((one) => one !== guard),
    }),
  );
  const untrue = expectations.flatMap(({ statement, after }, index): Damage[] => {
    const verb = statement.verb?.text ?? "";
    const quantity = statement.quantity;
    if (after !== undefined || (CONTRARY[verb] === undefined && !quantity)) return [];
    const changed = quantity
      ? {
          ...statement,
          quantity: {
            ...quantity,
            value: quantity.value + 77,
            ...(quantity.upper !== undefined && { upper: quantity.upper + 77 }),
          },
        }
      : { ...statement, verb: { ...statement.verb!, text: CONTRARY[verb]! } };
    return [
      {
        kind: "untrue expectation",
        words: `expectation ${index} says the contrary`,
        edits: [],
        expectations: expectations.map((one, at) => (at === index ? { ...one, statement: changed } : one)),
      },
    ];
  });
  return [...unsaid, ...untrue];
}

/** Takes `most` of the damages, every kind in turn, in an order that the seed fixes. */
export function pick(all: readonly Damage[], most: number, seed: number): Damage[] {
  let state = seed;
  const random = (): number => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  const kinds = new Map<string, Damage[]>();
  for (const damage of all) kinds.set(damage.kind, [...(kinds.get(damage.kind) ?? []), damage]);
  const queues = [...kinds.values()].map((queue) =>
    queue
      .map((d) => [random(), d] as const)
      .sort((x, y) => x[0] - y[0])
      .map(([, d]) => d),
  );
  const picked: Damage[] = [];
  for (let round = 0; picked.length < most && queues.some((q) => q.length > round); round++)
    for (const queue of queues) if (round < queue.length && picked.length < most) picked.push(queue[round]!);
  return picked;
}
