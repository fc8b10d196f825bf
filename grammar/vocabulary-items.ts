/** Words that start an item of a part's block, words that join, and words of conditions and ratings. */

export interface ItemEntry {
  readonly word: string;
  readonly kinds?: readonly string[];
  readonly text: string;
  readonly example: string;
}

const switching = [
  "timer",
  "selector",
  "switch",
  "push",
  "level",
  "control",
  "board",
  "lock",
  "relay",
  "sensor",
  "ptc",
  "overload",
  "thermostat",
  "limit",
];
const motors = ["motor", "pump", "fan", "load"];

export const items: readonly ItemEntry[] = [
  {
    word: "contact",
    kinds: [...switching, ...motors],
    text: "a contact: terminals, when it is closed, rating",
    example: "contact 1 to 2 in shut  rated 15 A 125 V",
  },
  { word: "rated", text: "a set of rating points", example: "rated 15 A 125 V or 7.5 A 250 V" },
  { word: "positions", text: "names of its positions, the resting one first", example: "positions shut open" },
  { word: "water", kinds: ["level"], text: "water levels, lowest first", example: "water empty low mid high" },
  { word: "set", kinds: ["level"], text: "settings of the level knob", example: "set low mid high" },
  {
    word: "chart",
    kinds: ["timer", "board", "selector"],
    text: "the timer chart, one cell a step",
    example: "chart 5 min per step { }",
  },
  { word: "drive", kinds: ["timer"], text: "the timer's own motor", example: "drive M1 to M2  120 V 2.5 W" },
  { word: "winding", kinds: motors, text: "a winding of the motor", example: "winding main 4 to 5  runs 5.2 A" },
  {
    word: "protector",
    kinds: motors,
    text: "the motor's own protector, as a place in the circuit",
    example: "protector 8 to 5 opens 120 C",
  },
  {
    word: "speed-switch",
    kinds: motors,
    text: "contacts thrown by the shaft",
    example: "speed-switch { contact 6 to 3 while stopped }",
  },
  { word: "moves", text: "what moves when it runs", example: 'moves "drum" guarded by DOOR in shut' },
  { word: "guarded by", text: "what must hold for it to be allowed on", example: "guarded by WL in full" },
  { word: "frame", text: "exposed metal: gives the terminal `frame`", example: "frame" },
  { word: "on", text: "bolted to that frame", example: "on CAB" },
  { word: "pins", kinds: ["connector"], text: "pins of a connector", example: "pins 1 2 3" },
  {
    word: "coil",
    kinds: ["relay", "valve", "lock", "control"],
    text: "a coil",
    example: "coil 1 to 2 120 V draws 60 mA",
  },
  {
    word: "seat",
    kinds: ["valve"],
    text: "a valve seat moved by several coils",
    example: "seat first opens when hold on; stays while hold on",
  },
  {
    word: "bias",
    kinds: ["thermostat", "control"],
    text: "heater inside a thermostat",
    example: "bias 3 to 4 120 V 5.5 kohm lowers 14 K",
  },
  {
    word: "feed",
    kinds: ["board", "lock", "sensor", "control"],
    text: "where it takes its own power",
    example: "feed L to N",
  },
  { word: "sense", kinds: ["board"], text: "an input that the board watches", example: "sense P to N" },
  {
    word: "thermistor",
    kinds: ["board"],
    text: "an input for a thermistor",
    example: "thermistor 1 to 2 4.8 kohm at 25 C",
  },
  {
    word: "triac",
    kinds: ["board"],
    text: "a solid state switch of a board",
    example: "triac pump L to P leaks 0.7 mA",
  },
  { word: "primary", kinds: ["transformer"], text: "the side towards the mains", example: "primary 1 to 2 120 V" },
  { word: "secondary", kinds: ["transformer"], text: "the other side", example: "secondary 3 to 4 24 V" },
  {
    word: "element",
    kinds: ["heater"],
    text: "one of several elements in a heater",
    example: "element 1 to 2 2100 W 240 V",
  },
];

export const joiningWords: readonly { readonly word: string; readonly text: string }[] = [
  { word: "to", text: "from one point or terminal to the next" },
  { word: "in", text: "in these positions" },
  { word: "or", text: "another position, rating or throw" },
  { word: "and", text: "another of the same" },
  { word: "when", text: "under this condition" },
  { word: "while", text: "as long as this holds" },
  { word: "else", text: "the other throw" },
  { word: "closed", text: "positions in which a contact is closed" },
  { word: "open", text: "positions in which a contact is open" },
  { word: "made", text: "closed, of a part thrown by heat" },
  { word: "below", text: "level under a setting or position" },
  { word: "above", text: "level over a setting or position" },
  { word: "of type", text: "described by a `type`" },
  { word: "per step", text: "time of a chart's step" },
  { word: "steps", text: "the step names of a chart and their counts" },
  { word: "fast", text: "a second, quick cam" },
  { word: "repeats", text: "the chart runs round" },
  { word: "guarded by", text: "what must hold for it to be allowed on" },
  { word: "turning", text: "direction of a movement" },
  { word: "after", text: "changes made one after the other" },
  { word: "gets", text: "volts across a load" },
  { word: "with", text: "together with another proposal" },
  { word: "by", text: "what takes the place" },
  { word: "end", text: "the end of a wire that moves" },
  { word: "photo", text: "a picture that belongs to a note" },
  { word: "unplugged", text: "read with the power off" },
  { word: "lifted", text: "read with that lead taken off" },
  { word: "pilot duty", text: "rating code for coils, NEMA ICS 5" },
];

/** Words that name the duty of a rating point. */
export const dutyWords: readonly string[] = ["general", "resistive", "motor", "inductive", "lamp"];

/** Forms of supply that are written out. */
export const supplyForms: readonly string[] = ["single", "split", "wye"];

/** What `expect` may say of a subject. */
export const expectVerbs: readonly string[] = [
  "off",
  "on",
  "works",
  "runs",
  "heats",
  "lights",
  "hums",
  "waits",
  "advances",
  "gets",
  "draws",
  "closed",
  "open",
  "weak",
  "stays off",
  "stays on",
];
