/** What may be written at the caret: words of the language, and names that the machine around it really has. */
import { colours } from "../../grammar/colours.ts";
import { statementsOf } from "../../grammar/statement-list.ts";
import type { Dimension } from "../../grammar/tree.ts";
import { units } from "../../grammar/units.ts";
import {
  dutyWords,
  expectVerbs,
  findingsWords,
  itemsOf,
  joiningWords,
  kindNamed,
  kinds,
  type PropertyEntry,
  properties,
  propertiesOf,
  proposalWords,
  type Scope,
  statements,
  supplyForms,
} from "../../grammar/vocabulary.ts";
import { chartRows } from "./completion-chart.ts";
import { conditionChoices } from "./completion-conditions.ts";
import {
  behindDot,
  contactsOf,
  partChoices,
  pointChoices,
  provenConditions,
  subjectChoices,
} from "./completion-names.ts";
import { type Piece, type Sentence, sentenceAt } from "./sentence.ts";
import { fileSnippets } from "./snippets.ts";
import { type FileView, type MachineView, machineAt } from "./view.ts";

export type ChoiceKind =
  | "statement"
  | "kind"
  | "property"
  | "word"
  | "part"
  | "terminal"
  | "contact"
  | "load"
  | "control"
  | "position"
  | "unit"
  | "colour"
  | "type"
  | "condition"
  | "snippet"
  | "chart-row";

export interface Choice {
  readonly label: string;
  readonly kind: ChoiceKind;
  /** Behind the label, short. */
  readonly detail?: string;
  /** Beside the list: a sentence and an example. */
  readonly documentation?: string;
  /** Left out: the label. With `snippet` its placeholders are `${1:...}`. */
  readonly insert?: string;
  readonly snippet?: boolean;
  /** Smaller comes first; equal ones by label. */
  readonly rank: number;
}

export interface Completion {
  readonly choices: readonly Choice[];
  /** What a choice replaces. */
  readonly from: number;
  readonly to: number;
}

const nothing = (offset: number): Completion => ({ choices: [], from: offset, to: offset });

/** `files`: addresses of texts nearby, as a `use` would name them. `types`: names of types that other files bring. */
export function completion(
  view: FileView,
  offset: number,
  { files = [], types = [] }: { readonly files?: readonly string[]; readonly types?: readonly string[] } = {},
): Completion {
  const sentence = sentenceAt(view.tree, offset);
  if (sentence.comment) return nothing(offset);
  const { from, to } = sentence;
  if (sentence.label) {
    if (sentence.before[0]?.text !== "use") return nothing(offset);
    const choices = files.map((file): Choice => ({ label: file, kind: "type", rank: 0 }));
    return { choices, from: sentence.label.from, to: sentence.label.to };
  }
  // A number is being typed: nothing to choose until its unit.
  if (/^\d/.test(sentence.typed) && sentence.dotted === undefined && !afterPoint(sentence)) return nothing(offset);
  const machine = machineAt(view, offset);
  const seen = new Set<string>();
  const choices = choose(view, machine, sentence, offset, types).filter(({ label, kind }) => {
    const known = seen.size;
    return seen.add(kind === "snippet" ? `${label} {}` : label).size > known;
  });
  return { choices, from, to };
}

/** What a good answer here waits for: numbers over every state, types of other files, or names alone. */
export function completionNeeds(view: FileView, offset: number): "start" | "numbers" | "types" | "names" {
  const { before } = sentenceAt(view.tree, offset);
  if (before.length === 0) return "start";
  if (before[0]!.text === "expect" && before.length > 1) return "numbers";
  return before.at(-1)!.text === "type" || before.at(-1)!.text === "by" ? "types" : "names";
}

/** Terminals may be plain numbers: `contact 1 to 2`. */
function afterPoint({ before }: Sentence): boolean {
  return before.at(-1)?.text === "to";
}

function choose(
  view: FileView,
  machine: MachineView | undefined,
  sentence: Sentence,
  offset: number,
  types: readonly string[],
): Choice[] {
  const { block, before, dotted } = sentence;
  if (dotted !== undefined) return machine ? behindDot(machine, dotted) : [];
  if (block.block === "chart") return chartRows(view, sentence, offset);
  if (before.length === 0) return starts(sentence);
  const head = before[0]!.text;
  const last = before.at(-1)!;
  const previous = before.at(-2)?.text;
  if (last.text === "type" && previous === "of") return typeNames(view, types);
  if (last.text === "type" && previous === "by") return typeNames(view, types);
  if (last.type === "number") return unitChoices(dimensionsHere(sentence));
  if (machine) {
    const inCondition = conditionChoices(machine.machine, sentence);
    if (inCondition) return inCondition;
  }
  if (block.block === "findings") return findingsChoices(machine, before);
  if (block.block === "proposal" && !["wire", "bond", "strap", "jumper", "add"].includes(head))
    return proposalChoices(view, machine, before, types);
  switch (head) {
    case "wire":
    case "bond":
    case "strap":
    case "jumper":
      return wireChoices(machine, before);
    case "expect":
      return expectChoices(machine, before);
    case "note":
      return before.length === 1 && machine ? subjectChoices(machine) : [];
    case "supply":
      return supplyChoices(before);
    case "type":
      return before.length === 2 ? kindChoices() : propertyChoices(before[2]?.text ?? "", "part", before, machine);
    case "machine":
    case "use":
    case "proposal":
      return [];
    case "contact":
      return contactChoices(machine, sentence);
    default:
      return partItems(machine, sentence);
  }
}

/** At the start of a statement, item, edit or entry. */
function starts({ block: { block, kind } }: Sentence): Choice[] {
  const entries = (list: readonly { word: string; text: string; example: string }[], of: ChoiceKind, rank: number) =>
    list.map(
      ({ word, text, example }): Choice => ({
        label: word,
        kind: of,
        detail: text,
        documentation: `\`${example}\``,
        rank,
      }),
    );
  switch (block) {
    case "file":
      return [
        ...fileSnippets.map(
          ({ word, text, body }): Choice => ({
            label: word,
            kind: "snippet",
            detail: text,
            insert: body,
            snippet: true,
            rank: 1,
          }),
        ),
        ...entries(kinds, "kind", 2),
        ...entries(statements, "statement", 2),
      ];
    case "proposal":
      return [
        ...entries(proposalWords, "statement", 1),
        ...entries(
          statements.filter(({ word }) => word === "wire" || word === "jumper"),
          "statement",
          1,
        ),
      ];
    case "findings":
      return entries(findingsWords, "statement", 1);
    case "speed-switch":
      return entries(
        itemsOf("motor").filter(({ word }) => word === "contact"),
        "statement",
        1,
      );
    case "part":
      return [...entries(itemsOf(kind ?? ""), "statement", 1), ...entries(propertiesOf(kind ?? ""), "property", 2)];
    default:
      return entries(propertiesOf(kind ?? ""), "property", 2);
  }
}

function kindChoices(): Choice[] {
  return kinds.map(({ word, text, example }) => ({
    label: word,
    kind: "kind",
    detail: text,
    documentation: `\`${example}\``,
    rank: 1,
  }));
}

function typeNames(view: FileView, types: readonly string[]): Choice[] {
  const here = statementsOf(view.tree, "type").flatMap((one): Choice[] =>
    one.name ? [{ label: one.name.text, kind: "type", detail: one.label?.text ?? one.kind?.text, rank: 0 }] : [],
  );
  return [...here, ...types.map((label): Choice => ({ label, kind: "type", rank: 1 }))];
}

// ---------------------------------------------------------------- wires

function wireChoices(machine: MachineView | undefined, before: readonly Piece[]): Choice[] {
  const last = before.at(-1)!;
  if (last.text === "to" || before.length === 1) return machine ? pointChoices(machine) : [];
  const joined = before.filter(({ text }) => text === "to").length > 0;
  const onward: Choice[] = [word("to", 0)];
  if (!joined) return machine && before.length === 2 ? [...onward, ...pointChoices(machine)] : onward;
  return [...onward, ...colourChoices()];
}

function colourChoices(): Choice[] {
  const green: Choice = { label: "GN/YE", kind: "colour", detail: "green and yellow, protective earth", rank: 3 };
  return [...colours.map(({ code, name }): Choice => ({ label: code, kind: "colour", detail: name, rank: 2 })), green];
}

// ---------------------------------------------------------------- expect, findings, proposals

function expectChoices(machine: MachineView | undefined, before: readonly Piece[]): Choice[] {
  if (!machine) return [];
  if (before.length === 1) return subjectChoices(machine);
  const subject = subjectOf(before.slice(1));
  const verb = before.slice(1 + subject.words).map(({ text }) => text);
  if (verb.length === 0)
    return [
      ...provenConditions(machine, subject.name),
      ...expectVerbs.map((label): Choice => ({ label, kind: "word", rank: 2 })),
    ];
  return [word("when", 0), word("after", 1)];
}

/** `HT` or `TM.drive`: the name and how many tokens it takes. */
function subjectOf(pieces: readonly Piece[]): { readonly name: string; readonly words: number } {
  if (pieces[1]?.text === ".") return { name: `${pieces[0]!.text}.${pieces[2]?.text ?? ""}`, words: 3 };
  const whole = pieces[0]?.text ?? "";
  return { name: whole, words: whole === "" ? 0 : 1 };
}

function findingsChoices(machine: MachineView | undefined, before: readonly Piece[]): Choice[] {
  if (!machine) return [];
  const head = before[0]!.text;
  const last = before.at(-1)!.text;
  if (["heard", "seen", "smelt", "felt"].includes(head)) {
    if (before.length === 1) return subjectChoices(machine);
    const said: Record<string, readonly string[]> = {
      heard: ["hums", "runs", "buzzes", "off"],
      seen: ["cold", "hot", "off", "on", "turns", "still"],
      smelt: ["hot", "burnt"],
      felt: ["hot", "cold"],
    };
    return said[head]!.map((label) => ({ label, kind: "word", rank: 0 }));
  }
  if (before.length === 1 || last === "to" || last === "lifted")
    return head === "amps" || head === "watts" ? subjectChoices(machine) : pointChoices(machine, false);
  if (!before.some(({ text }) => text === "to") && (head === "volts" || head === "ohms"))
    return [word("to", 0), word("open", 2), word("unplugged", 1)];
  return head === "ohms" ? [word("open", 0), word("unplugged", 0), word("lifted", 1)] : [];
}

function proposalChoices(
  view: FileView,
  machine: MachineView | undefined,
  before: readonly Piece[],
  types: readonly string[],
): Choice[] {
  if (!machine) return [];
  const head = before[0]!.text;
  const last = before.at(-1)!.text;
  if (last === "wire" || (head === "move" && (last === "to" || last === "end" || before.length === 1)))
    return [...(before.length === 1 ? [word("wire", 0)] : []), ...pointChoices(machine, false)];
  if (before.some(({ text }) => text === "wire")) return [word("to", 0), ...(head === "move" ? [word("end", 1)] : [])];
  if (before.length === 1) {
    if (head === "remove") return [word("wire", 0), ...partChoices(machine)];
    if (head === "change") return [...partChoices(machine), ...contactsOf(machine), word("supply", 3)];
    return partChoices(machine);
  }
  if (head === "replace") {
    if (before.length === 2) return [word("by", 0)];
    if (last === "by")
      return [
        { label: "type", kind: "word", rank: 0 },
        ...typeNames(view, types).map((one) => ({ ...one, insert: `type ${one.label}` })),
        ...kindChoices(),
      ];
  }
  if ((head === "change" || head === "rename") && before.length === 2) return [word("to", 0), word("rated", 1)];
  return [];
}

// ---------------------------------------------------------------- parts and what may be said of them

function supplyChoices(before: readonly Piece[]): Choice[] {
  const usual = [
    "120/240 V 60 Hz",
    "120/208 V 60 Hz",
    "single 120 V 60 Hz legs L N PE",
    "single 230 V 50 Hz legs L N PE",
  ];
  if (before.length === 1)
    return [
      ...usual.map((label): Choice => ({ label, kind: "condition", rank: 0 })),
      ...supplyForms.map((label): Choice => ({ label, kind: "word", rank: 1 })),
    ];
  return propertyChoices("", "supply", before, undefined);
}

function contactChoices(machine: MachineView | undefined, sentence: Sentence): Choice[] {
  const { before, block } = sentence;
  const words = before.map(({ text }) => text);
  if (!words.includes("to")) return before.length > 1 ? [word("to", 0)] : [];
  if (words.at(-1) === "to") return [];
  const rotor = block.block === "speed-switch" || ["motor", "relay", "lock"].includes(block.kind ?? "");
  const joins = ["in", "closed", "made", "open", "else", "while", "below", "above"].filter(
    (one) => !words.includes(one),
  );
  return [
    ...joins.map((one): Choice => word(one, (rotor ? one === "while" : one === "in") ? 0 : 2)),
    ...propertyChoices(block.kind ?? "", "contact", before, machine),
    word("rated", 1),
  ];
}

/** Behind a kind and a name, or within a winding, drive, coil, chart line of a block. */
function partItems(machine: MachineView | undefined, sentence: Sentence): Choice[] {
  const { before, block } = sentence;
  const head = before[0]!.text;
  const add = head === "add" ? before.slice(1) : before;
  const kind = kindNamed(add[0]?.text ?? "")?.word;
  if (add.length === 0) return kindChoices();
  if (kind !== undefined) {
    if (add.length === 1) return []; // its name
    const choices = propertyChoices(kind, "part", add, machine);
    return add.length === 2 ? [{ ...word("of type", 1) }, ...choices] : choices;
  }
  const scopes: Record<string, Scope> = {
    winding: "winding",
    protector: "contact",
    drive: "drive",
    coil: "coil",
    feed: "drive",
    primary: "branch",
    secondary: "branch",
    element: "branch",
    bias: "branch",
  };
  const scope = scopes[head];
  if (scope) {
    const words = before.map(({ text }) => text);
    if (!words.includes("to")) return [word("to", 0)];
    return propertyChoices(block.kind ?? "", scope, before, machine);
  }
  return propertyChoices(block.kind ?? "", "part", before, machine);
}

/** What the last property word waits for, or all properties that are not said yet. */
function propertyChoices(
  kind: string,
  scope: Scope,
  before: readonly Piece[],
  machine: MachineView | undefined,
): Choice[] {
  const all = scope === "part" ? propertiesOf(kind) : propertiesOf(kind, scope);
  const words = before.map(({ text }) => text);
  const waiting = waitingSlots(words);
  const asked = waiting.flatMap(({ take, phrases }): Choice[] => {
    if (take === "words") return (phrases ?? []).map((label) => ({ label, kind: "word", rank: 0 }));
    if (take === "point" && machine) return subjectChoices(machine).map((one) => ({ ...one, rank: 0 }));
    return [];
  });
  const said = new Set(words);
  const rest = all
    .filter(({ word: phrase }) => !phrase.split(" ").every((one) => said.has(one)))
    .map((entry): Choice => ({ ...propertyChoice(entry), rank: 3 }));
  const rating =
    words.lastIndexOf("rated") > 0
      ? [...dutyWords.map((label): Choice => ({ label, kind: "word", rank: 4 })), word("or", 2), word("pilot duty", 4)]
      : [];
  // Where something is asked for and nothing of it stands yet, nothing else can follow.
  return waiting[0] && !waiting[0].optional && asked.length > 0
    ? asked
    : [...asked, ...rest, ...rating, ...(said.has("rated") ? [] : [word("rated", 3)])];
}

/** Slots behind the property that is being written; empty behind a value that ends it. */
function waitingSlots(words: readonly string[]): PropertyEntry["slots"] {
  for (let back = 1; back <= 3 && back <= words.length; back++) {
    const phrase = words.slice(-back).join(" ");
    const entry = properties.find(({ word: one }) => one === phrase);
    if (entry) return entry.slots;
  }
  return [];
}

export function propertyChoice({ word: label, text, example }: PropertyEntry): Choice {
  return { label, kind: "property", detail: text, documentation: `\`${example}\``, rank: 3 };
}

/** What a bare number may be: of the property before it, else of the part's plate. */
function dimensionsHere({ before, block }: Sentence): readonly Dimension[] {
  const words = before.slice(0, -1).map(({ text }) => text);
  const slots = waitingSlots(words).flatMap(({ dimensions }) => dimensions ?? []);
  if (slots.length > 0) return slots;
  switch (words[0]) {
    case "wire":
    case "bond":
    case "strap":
      return ["wire-size", "length", "temperature"];
    case "supply":
      return ["voltage", "frequency", "current"];
    case "volts":
      return ["voltage"];
    case "ohms":
      return ["resistance"];
    case "amps":
      return ["current"];
    case "watts":
      return ["power"];
    case "chart":
      return ["time"];
    default: {
      if (words.includes("rated")) return ["current", "voltage", "horsepower"];
      const kind = kindNamed(words[0] ?? "") ?? kindNamed(block.kind ?? "");
      return kind && kind.plate.length > 0 ? kind.plate : ["voltage", "current", "power", "resistance"];
    }
  }
}

function unitChoices(dimensions: readonly Dimension[]): Choice[] {
  return units.flatMap(({ name, dimension, text }): Choice[] => {
    const rank = dimensions.indexOf(dimension);
    return rank < 0 ? [] : [{ label: name, kind: "unit", detail: text, rank }];
  });
}

function word(label: string, rank: number): Choice {
  const text = joiningWords.find((entry) => entry.word === label)?.text;
  return { label, kind: "word", ...(text === undefined ? {} : { detail: text }), rank };
}
