/**
 * What people write from habit, and how the language says it: words of wiring sheets, stamps and other notations of the trade
 * (common practice, no published source). Used in errors only; nothing is read otherwise for it.
 */

/** What to write instead, and why when that is not plain; without `write` there is nothing to put in its place. */
export interface Habit {
  readonly write?: string;
  readonly advice: string;
}

const writeInstead = (write: string, more = ""): Habit => ({ write, advice: `Write \`${write}\`${more}.` });

const kindsOf: Readonly<Record<string, readonly string[]>> = {
  heater: ["element", "coil", "heating"],
  valve: ["solenoid"],
  lamp: ["led", "light", "bulb", "neon", "indicator", "pilot"],
  link: ["cutoff", "cutout", "cut-out", "cut-off", "tco", "thermofuse", "thermal-fuse", "fusible"],
  limit: ["hi-limit", "high-limit", "safety"],
  level: ["pressure", "pressostat", "float", "water-switch"],
  push: ["button", "pushbutton", "push-button", "momentary"],
  selector: ["knob", "dial", "rotary"],
  splice: ["node", "junction", "joint", "crimp"],
  frame: ["chassis", "cabinet", "case", "housing"],
  capacitor: ["cap", "condenser"],
  sensor: ["thermistor", "ntc", "probe"],
  motor: ["compressor", "engine"],
  fan: ["blower"],
  relay: ["contactor", "coil-relay"],
  switch: ["door", "lid", "interlock", "microswitch"],
  buzzer: ["bell", "chime"],
  board: ["pcb", "module", "triac", "controller"],
  connector: ["harness", "socket", "terminal-block"],
  wire: ["lead", "cable", "conductor", "connect", "net"],
  bond: ["ground", "earth"],
  jumper: ["bypass", "jump", "bridge"],
  expect: ["test", "assert", "check"],
  note: ["remark", "comment", "text"],
  use: ["import", "include"],
  supply: ["mains", "power", "source", "line"],
};

const statementHabits = new Map<string, Habit>(
  Object.entries(kindsOf).flatMap(([write, words]) => words.map((word) => [word, writeInstead(write)] as const)),
);
for (const word of ["plug", "cord", "breaker"])
  statementHabits.set(word, {
    advice: "Say it on the supply's line: `supply 120/240 V 60 Hz breaker 30 A`; its legs are points already.",
  });

const pairHabits = new Map<string, Habit>([
  ["thermal fuse", writeInstead("link")],
  ["thermal link", writeInstead("link")],
  ["thermal cutoff", writeInstead("link")],
  ["thermal cutout", writeInstead("link")],
  ["thermal limiter", writeInstead("link")],
  ["thermal overload", writeInstead("overload")],
  ["thermal protector", writeInstead("overload")],
  ["pressure switch", writeInstead("level", ": a switch worked by the water's level")],
  ["water switch", writeInstead("level", ": a switch worked by the water's level")],
  ["water valve", writeInstead("valve")],
  ["gas valve", writeInstead("valve")],
  ["fill valve", writeInstead("valve")],
  ["high limit", writeInstead("limit")],
  ["door switch", writeInstead("switch")],
  ["lid switch", writeInstead("switch")],
  ["door lock", writeInstead("lock")],
  ["start relay", writeInstead("relay")],
  ["start capacitor", writeInstead("capacitor")],
  ["run capacitor", writeInstead("capacitor")],
  ["drain pump", writeInstead("pump")],
  ["drive motor", writeInstead("motor")],
  ["drum motor", writeInstead("motor")],
  ["heating element", writeInstead("heater")],
  ["infinite switch", writeInstead("control")],
]);

/** A remark in another notation; both signs belong to it. */
export function isRemark(first: string, second: string): boolean {
  return (first === "/" && (second === "/" || second === "*")) || (first === "-" && second === "-");
}

export const remarkHabit: Habit = { write: "#", advice: "A remark begins with `#`." };

/** For a line that begins with `first`; `pair` is set when the second word belongs to it. */
export function statementHabit(first: string, second: string): (Habit & { readonly pair: boolean }) | undefined {
  const lower = first.toLowerCase();
  const pair = pairHabits.get(`${lower} ${second.toLowerCase()}`);
  if (pair) return { ...pair, pair: true };
  const single = statementHabits.get(lower);
  return single && { ...single, pair: false };
}

const springs = ["push", "relay"];

/** For a word in the header or block of a part of that kind. */
export function itemHabit(kind: string, word: string): Habit | undefined {
  switch (word.toLowerCase()) {
    case "no":
    case "nc": {
      const phrase = word.toLowerCase() === "no" ? "normally open" : "normally closed";
      return springs.includes(kind)
        ? writeInstead(phrase)
        : {
            advice: `Say in which positions it is closed: \`closed in shut, open in open\`. \`${phrase}\` is said of ${springs.map((each) => `\`${each}\``).join(" and ")}.`,
          };
    }
    case "low":
    case "off":
    case "high":
    case "on":
      return kind === "selector" || kind === "switch" || kind === "control"
        ? { write: `positions ${word}`, advice: "Write `positions` before their names: `positions off low high`." }
        : undefined;
    case "fla":
    case "rla":
    case "flc":
      return writeInstead("runs");
    case "lra":
    case "lrc":
      return writeInstead("locked rotor");
    case "'":
      return { advice: 'A label stands in double quotes: `"drum lamp"`.' };
    case "@":
      return { write: "", advice: "Leave a space: `1200 W 120 V`." };
    case "/":
      return { write: " ", advice: "Leave a space: `15 A 125 V`." };
    default:
      return undefined;
  }
}

/** For a line of a proposal that begins with `first`; `rest` is what stands behind it. */
export function editHabit(first: string, rest: string): string | undefined {
  const part = /^[\w-]+$/.test(rest) ? rest : undefined;
  if (/^(bypass|jump|bridge|short)$/i.test(first))
    return part === undefined
      ? "Write `jumper` and the two points: `jumper DOOR.1 to DOOR.2`."
      : `Write \`jumper\` and its two points: \`jumper ${part}.1 to ${part}.2\`.`;
  if (/^(disconnect|cut|unplug)$/i.test(first)) return "Write `remove` and the wire: `remove wire L1 to TM.C`.";
  if (/^(connect|lead)$/i.test(first)) return "Write `wire`: `wire L1 to TM.C`.";
  if (/^(reconnect|rewire)$/i.test(first)) return "Write `move`: `move HT.1 to L2`.";
  if (/^(swap|exchange|substitute|fit)$/i.test(first)) return "Write `replace HT by heater 4800 W 240 V`.";
  return /^to\b/.test(rest) ? `Write \`change ${first} ${rest}\`, or \`wire ${first} ${rest}\`.` : undefined;
}

/** For a word that nothing in a line of words wanted. */
export function lineHabit(word: string): Habit | undefined {
  switch (word.toLowerCase()) {
    case "if":
      return writeInstead("when");
    case "with":
      return writeInstead("when", " and what must hold");
    default:
      return undefined;
  }
}
