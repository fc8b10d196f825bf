/** Other ways to write the same: a chain as single lines, a chart row as words, words as a chart row. The machine stays what it is. */
import type {
  ChartItem,
  ChartRowNode,
  ContactItem,
  PartStatement,
  TypeStatement,
  WireStatement,
} from "../../grammar/tree.ts";
import type { Fix } from "../base/finding.ts";
import { breakOf, indentOf, lineEnd, lineStart, nextLine } from "../base/lines.ts";
import { describePositions, type Machine, maskOf } from "../machine/index.ts";
import type { Control } from "../machine/machine.ts";
import { type FileView, machineAt } from "./view.ts";

/** Rewrites of what stands at the stretch. */
export function rewrites(view: FileView, from: number, to: number): readonly Fix[] {
  const machine = machineAt(view, from)?.machine;
  const statement = view.tree.statements.find((each) => each.from <= from && to <= each.to);
  if (!machine || !statement) return [];
  if (statement.statement === "wire") return splitChain(view, machine, statement);
  if (statement.statement === "part") return chartAndWords(view, machine, statement, from);
  return [];
}

// ------------------------------------------------------------ chains

function splitChain(view: FileView, machine: Machine, statement: WireStatement): Fix[] {
  const { links, word, name, from, to } = statement;
  const last = links.at(-1);
  if (links.length < 3 || !last || name || statement.label) return [];
  const own = machine.wires.filter(({ place }) => place.file === view.file && place.from >= from && place.to <= to);
  // A name in it that is not known would be lost.
  if (own.length !== links.length - 1) return [];
  const rest = view.text.slice(last.to, to).trimEnd();
  const names = (terminal: number) => machine.terminals[terminal]!.fullName;
  const lines = own.map(({ a, b }) => `${word} ${names(a)} to ${names(b)}${rest}`);
  const text = lines.join(breakOf(view.text) + indentOf(view.text, from));
  const place = { file: view.file, from, to: to - (view.text.slice(last.to, to).length - rest.length) };
  return [{ title: `Write this chain as ${lines.length} lines`, safe: false, edits: [{ place, text }] }];
}

// ------------------------------------------------------------ charts

function chartAndWords(view: FileView, machine: Machine, statement: PartStatement | TypeStatement, at: number): Fix[] {
  const part = machine.parts.find(({ namePlace }) => namePlace.from === statement.name?.from);
  const chart = statement.items.find((item): item is ChartItem => item.item === "chart" && !item.fast);
  const control = part?.controls.map((id) => machine.controls[id]!).find(({ role }) => isStepped(role));
  if (!part || !chart || !control) return [];
  const contacts = statement.items.filter((item): item is ContactItem => item.item === "contact");
  const row = chart.rows.find((each) => each.from <= at && at <= each.to);
  const contact = row
    ? contacts.find((each) => answersTo(each, row))
    : contacts.find((each) => each.from <= at && at <= each.to);
  if (contact?.throws.length !== 1) return [];
  const rows = chart.rows.filter((each) => answersTo(contact, each));
  if (rows.length === 1) return rowAsWords(view, control, contact, rows[0]!);
  return rows.length === 0 ? wordsAsRow(view, machine, part.contacts, control, contact, chart) : [];
}

const isStepped = (role: Control["role"]): boolean => role === "timer" || role === "board";

function answersTo(contact: ContactItem, row: ChartRowNode): boolean {
  const terminals = `${contact.common?.text}-${contact.throws[0]?.text}`;
  return row.name.text === (contact.name?.text ?? terminals) || (!contact.name && row.name.text === terminals);
}

/** Closed and open alone can be said in words; throws and cells that cycle cannot. */
function rowAsWords(view: FileView, control: Control, contact: ContactItem, row: ChartRowNode): Fix[] {
  const cells = row.cells.map(({ text }) => text).join("");
  const end = contact.throws.at(-1)?.to;
  if (/[^Xx-]/.test(cells) || cells.length !== control.positions.length || !/x/i.test(cells) || end === undefined)
    return [];
  if (contact.positions || contact.openPositions || contact.while) return [];
  if (lineStart(view.text, row.from) !== lineStart(view.text, row.to)) return []; // it goes on below
  const steps = [...cells].flatMap((cell, step) => (cell === "-" ? [] : [step]));
  const words = describePositions(control, maskOf(cells.length, steps));
  const { file, text } = view;
  return [
    {
      title: `Say in words when ${row.name.text} is closed`,
      safe: false,
      edits: [
        { place: { file, from: end, to: end }, text: ` closed in ${words}` },
        { place: { file, from: lineStart(text, row.from), to: nextLine(text, row.to) }, text: "" },
      ],
    },
  ];
}

function wordsAsRow(
  view: FileView,
  machine: Machine,
  ids: readonly number[],
  control: Control,
  contact: ContactItem,
  chart: ChartItem,
): Fix[] {
  const { file, text } = view;
  const [first] = chart.steps;
  const lastStep = chart.steps.at(-1);
  const end = contact.throws.at(-1)?.to;
  if (!contact.positions || contact.positions.length === 0 || !first || !lastStep || end === undefined) return [];
  // Columns are those of the one line of step names.
  if (lineStart(text, first.from) !== lineStart(text, lastStep.from)) return [];
  const found = ids.map((id) => machine.contacts[id]!).find(({ place }) => place.from === contact.from);
  const [only, ...others] = found?.closed ?? [];
  if (!only || others.length > 0 || only.length !== 1 || only[0]!.control !== control.id) return [];
  const cells = [...only[0]!.positions].map((on) => (on === 1 ? "X" : "-")).join("");
  const start = lineStart(text, first.from);
  const name = contact.name?.text ?? `${contact.common?.text}-${contact.throws[0]!.text}`;
  let line = `${indentOf(text, first.from)}${name}`;
  let step = 0;
  for (const { from, count } of chart.steps) {
    line = `${line} `.padEnd(from - start, " ") + cells.slice(step, step + count);
    step += count;
  }
  const behind = lineEnd(text, chart.rows.at(-1)?.to ?? lastStep.to);
  const words = { from: end, to: contact.positions.at(-1)!.to };
  return [
    {
      title: `Draw ${name} as a row of the chart`,
      safe: false,
      edits: [
        { place: { file, ...words }, text: "" },
        { place: { file, from: behind, to: behind }, text: breakOf(text) + line },
      ],
    },
  ];
}
