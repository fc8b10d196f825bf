/** A proposal done to a machine: the changed machine, or what stands in the way at the line of the edit. */
import { parse } from "../../grammar/parse.ts";
import type {
  ChainLinkNode,
  NameNode,
  PartStatement,
  PointNode,
  ProposalEdit,
  ProposalStatement,
  Statement,
  Tree,
} from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { breakOf, lineEnd } from "../base/lines.ts";
import { edit as change } from "../machine/edit.ts";
import { type Machine, resolveFile } from "../machine/index.ts";
import type { TerminalId, Wire, WireId } from "../machine/machine.ts";
import { collectTypes, type KnownType, type Locate } from "../machine/types.ts";
import { labelPlace } from "./label-place.ts";
import { ModelParts, type WrittenType } from "./model-parts.ts";
import { renamed } from "./rename.ts";
import { type NewPart, replacedPart } from "./replaced-part.ts";
import {
  changeSplices,
  machineNumber,
  type PlacedEdit,
  partStatement,
  type Rewritten,
  rewrite,
  type Splice,
  supplyStatement,
} from "./rewrite.ts";
import { withoutPart, withoutWires } from "./take-out.ts";

export interface Proposed {
  readonly statement: ProposalStatement;
  /** The file that it stands in. */
  readonly file: string;
}

export interface Applied {
  /** Undefined when an edit could not be done: half a proposal is not a machine anybody meant. */
  readonly machine?: Machine;
  readonly findings: readonly Finding[];
  /** New name by old name of a part. */
  readonly renames: ReadonlyMap<string, string>;
  /** Where something of the changed machine stands in what the person wrote. */
  readonly home: Rewritten["home"];
  /** What the text with parts, values and new wires comes to, before wires are taken out or moved and parts taken out or renamed. */
  readonly written?: Machine;
  /** The edits that were done, those of the proposals that it stands on first. */
  readonly edits: readonly PlacedEdit[];
  /** Names, in `written`, of the parts that are taken out. */
  readonly removed: readonly string[];
  /** The proposals that were carried out: this one, and those that it stands on. */
  readonly proposals: readonly ProposalStatement[];
  /** Types that the base had not and that were written into its text. */
  readonly types: readonly KnownType[];
}

/**
 * `files`: every file that takes part, by name; the base machine's own and the proposal's among them. `locate`: as in resolving; left
 * out, paths are taken as they stand.
 */
export function applyProposal(
  base: Machine,
  files: ReadonlyMap<string, Tree>,
  proposed: Proposed,
  locate?: Locate,
  /** Left out: all edits; renames are done in any case. */
  wanted?: ReadonlySet<ProposalEdit>,
): Applied {
  return new Application(base, files, proposed, locate, wanted).run();
}

class Application {
  private readonly findings: Finding[] = [];
  private readonly renames = new Map<string, string>();
  private readonly removed: string[] = [];
  private readonly proposals = new Set<ProposalStatement>();
  private readonly types: KnownType[] = [];
  private readonly models = new ModelParts();
  private edits: readonly PlacedEdit[] = [];

  constructor(
    private readonly base: Machine,
    private readonly files: ReadonlyMap<string, Tree>,
    private readonly proposed: Proposed,
    private readonly locate: Locate | undefined,
    private readonly wanted: ReadonlySet<ProposalEdit> | undefined,
  ) {}

  run(): Applied {
    const { base, files } = this;
    const { wanted } = this;
    const edits = this.editsOf(this.proposed, []).filter(
      ({ edit }) => !wanted || edit.edit === "rename" || wanted.has(edit),
    );
    this.edits = edits;
    this.tellIllWritten();
    const splices = edits.flatMap((each) => this.splicesOf(each));
    splices.push(...this.models.splices());
    for (const each of [splices, ...this.models.changes]) this.tellConflicts(each);
    const types = this.typesWanted(edits);
    const written = rewrite(base.file, base.tree.text, this.findings.length > 0 ? [] : [...types, ...splices]);
    if (this.findings.length > 0) return this.refused(written);
    const { machines } = resolveFile(new Map([...files, [base.file, parse(written.text)]]), base.file, this.locate);
    const machine = machines[machineNumber(this.base.tree, this.base.place)];
    if (!machine) return this.refused(written);
    this.tellTroubles(machine, written, edits);
    let changed = machine;
    // Parts go last: a wire may be taken off one before it is gone, and none may be put on it.
    const last = ({ edit }: PlacedEdit) => (edit.edit === "remove" && edit.part ? 1 : 0);
    this.tellWiresOntoRemoved(machine, written, edits);
    for (const each of [...edits].sort((a, b) => last(a) - last(b))) changed = this.applyWires(changed, written, each);
    return this.findings.length > 0
      ? this.refused(written)
      : { ...this.refused(written), machine: changed, findings: [], written: machine };
  }

  private refused({ home }: Rewritten): Applied {
    const { findings, renames, edits, removed, types } = this;
    return { findings, renames, home, edits, removed, proposals: [...this.proposals], types };
  }

  /** Edits of the proposals named by `with` first, each once. */
  private editsOf({ statement, file }: Proposed, chain: readonly ProposalStatement[]): PlacedEdit[] {
    const tree = this.files.get(file)!;
    this.proposals.add(statement);
    const before = statement.with.flatMap((label) => {
      const other = tree.statements.find(
        (each): each is ProposalStatement => each.statement === "proposal" && each.label?.text === label.text,
      );
      const place = { file, from: label.from, to: label.to };
      if (!other)
        this.tell(place, `No proposal is called "${label.text}" in this file.`, "Name one that stands in this file.");
      else if (other === statement || chain.includes(other))
        this.tell(
          place,
          `"${label.text}" takes this proposal in, so neither can come first.`,
          "Leave out one of the two `with`.",
        );
      else return this.editsOf({ statement: other, file }, [...chain, statement]);
      return [];
    });
    const own = statement.edits.map((edit): PlacedEdit => {
      const place = { file, from: edit.from, to: edit.to };
      return { edit, place, text: tree.text.slice(edit.from, edit.to) };
    });
    const seen = new Set<ProposalEdit>();
    return [...before, ...own].filter(({ edit }) => !seen.has(edit) && seen.add(edit));
  }

  /** A line that could not be read would be left out silently: then nothing is said of the whole. */
  private tellIllWritten(): void {
    const { statement, file } = this.proposed;
    const errors = this.files.get(file)!.errors.filter(({ from, to }) => from >= statement.from && to <= statement.to);
    if (errors.length === 0) return;
    this.tell(
      labelPlace(statement, file),
      errors.length === 1
        ? "One error of writing stands in this proposal."
        : `${errors.length} errors of writing stand in this proposal.`,
      errors.length === 1 ? "Mend it first." : "Mend them first.",
    );
  }

  private splicesOf(each: PlacedEdit): readonly Splice[] {
    const { base } = this;
    const { edit, place } = each;
    const append = (behind: Statement["statement"], from: number, to: number): Splice[] => {
      const at = this.endOfLast(behind);
      return [
        { from: at, to: at, text: `${this.line}${each.text.slice(from - place.from, to - place.from)}`, edit: each },
      ];
    };
    switch (edit.edit) {
      case "wire":
        return append("wire", edit.wire.from, edit.wire.to);
      case "add":
        return append("part", edit.part.from, edit.part.to);
      case "replace": {
        const old = edit.part && this.statementOf(edit.part.text, each);
        if (!old) return [];
        const part = this.newPart(old, edit, each);
        const text = part && replacedPart(old, part, base.tree.text);
        return text === undefined
          ? this.impossible(each, "It is not said what takes its place.")
          : [{ from: old.from, to: old.to, text, edit: each }];
      }
      case "change": {
        if (edit.supply) {
          const old = supplyStatement(base.tree, base.place);
          const text = each.text
            .slice(edit.supply.from - place.from, edit.supply.to - place.from)
            .replace(/^supply\s+to\b/, "supply");
          return old
            ? [{ from: old.from, to: old.to, text, edit: each }]
            : append("machine", edit.supply.from, edit.supply.to);
        }
        const name = edit.target?.part?.text;
        const old = name && this.statementOf(name, each);
        if (!old) return [];
        if (edit.items.length === 0) return this.impossible(each, "It is not said what it changes to.");
        const inner = edit.target?.terminal?.text;
        const type = this.typeOf(old);
        const splices = type
          ? this.models.change(old, type, base.tree.text, inner, edit.items, each) && []
          : changeSplices(old, inner, edit.items, each, base.tree.text);
        return splices || this.impossible(each, `${name} has nothing written as ${inner} that could be changed.`);
      }
      default:
        return [];
    }
  }

  private statementOf(name: string, each: PlacedEdit) {
    const found = partStatement(this.base.tree, this.base.place, name);
    if (!found) this.impossible(each, `${this.base.label || "This machine"} has no part called ${name}.`);
    return found;
  }

  private newPart(
    old: PartStatement,
    { byType, by }: ProposalEdit & { edit: "replace" },
    { text, place }: PlacedEdit,
  ): NewPart | undefined {
    const { base, files, proposed, locate } = this;
    const name = byType ?? by?.ofType;
    const types = [base.file, proposed.file].map((file) => collectTypes(files, file, locate).types);
    const type = name && (types[0]!.get(name.text) ?? types[1]!.get(name.text))?.statement;
    if (byType) {
      const label = old.label ? `${base.tree.text.slice(old.label.from, old.label.to)} ` : "";
      return { kind: old.kind.text, items: type?.items ?? [], head: `${label}of type ${byType.text}` };
    }
    if (!by) return undefined;
    const { block, kind, items } = by;
    const slice = (from: number, to: number) => text.slice(from - place.from, to - place.from);
    return {
      kind: kind.text,
      items: [...items, ...(type?.items ?? [])],
      head: slice(kind.to, block?.from ?? by.to),
      ...(block && { block: slice(block.from + 1, block.to - 1).replace(/^\s*\n|\s+$/g, "") }),
    };
  }

  private typeOf({ ofType }: PartStatement): WrittenType | undefined {
    const { base, files, locate } = this;
    const known = ofType && collectTypes(files, base.file, locate).types.get(ofType.text);
    return known && { statement: known.statement, text: files.get(known.file)!.text };
  }

  private get line(): string {
    return breakOf(this.base.tree.text);
  }

  /** Behind the line of the machine's last statement of that word; of its last part, supply or head where there is none. */
  private endOfLast(word: Statement["statement"]): number {
    const { tree, place } = this.base;
    const own = tree.statements.filter(({ from }) => from >= place.from && from < place.to);
    const words: Statement["statement"][] = [word, "part", "supply", "machine"];
    const last = words.flatMap((each) => own.findLast(({ statement }) => statement === each) ?? [])[0] ?? own.at(-1);
    const end = last ? lineEnd(tree.text, last.to) : place.to;
    // Another statement on the same line would be cut off from its word.
    return own.some(({ from }) => last && from >= last.to && from < end) ? place.to : end;
  }

  /** Types that the proposal's side knows, by its own text or by the files that it uses, and the base does not. */
  private typesWanted(edits: readonly PlacedEdit[]): Splice[] {
    const { base, files, proposed, locate } = this;
    if (proposed.file === base.file) return [];
    const known = collectTypes(files, base.file, locate).types;
    const offered = collectTypes(files, proposed.file, locate).types;
    const text = ({ file, statement: { from, to } }: KnownType) => files.get(file)!.text.slice(from, to);
    const head = base.tree.statements.findLast(({ statement }) => statement === "use" || statement === "type");
    const at = head ? lineEnd(base.tree.text, head.to) : base.tree.text.length;
    const splices = new Map<string, Splice>();
    for (const each of edits) {
      const name = typeNamed(each.edit)?.text;
      const type = name === undefined ? undefined : offered.get(name);
      if (name === undefined || !type || splices.has(name)) continue;
      const own = known.get(name);
      if (!own) {
        this.types.push(type);
        splices.set(name, { from: at, to: at, text: `${this.line}${this.line}${text(type)}${this.line}`, edit: each });
      } else if (own.file !== type.file && text(own) !== text(type))
        this.impossible(
          each,
          `The machine's own text knows another type called ${name}.`,
          "Give one of the two types another name.",
        );
    }
    return [...splices.values()];
  }

  private tellConflicts(splices: readonly Splice[]): void {
    const sorted = splices.filter(({ from, to }) => to > from).sort((a, b) => a.from - b.from);
    sorted.slice(1).forEach((splice, i) => {
      const before = sorted[i]!;
      if (splice.from < before.to && splice.edit && before.edit !== undefined)
        this.impossible(splice.edit, `Another edit changes the same thing: ${before.edit.text.split("\n")[0]}.`);
    });
  }

  /** What the resolver objects to that it did not object to before. */
  private tellTroubles(machine: Machine, written: Rewritten, edits: readonly PlacedEdit[]): void {
    const before = new Set(this.base.findings.map(({ id, what }) => `${id} ${what}`));
    const replaced = edits.filter(({ edit }) => edit.edit === "replace" || edit.edit === "change").at(-1);
    for (const finding of machine.findings) {
      if (finding.gravity !== "error" && finding.id !== "name-the-terminal") continue;
      if (before.has(`${finding.id} ${finding.what}`)) continue;
      const here = finding.place.file === machine.file ? written.home(finding.place.from, finding.place.to) : finding;
      const edit = "edit" in here ? here.edit : undefined;
      const place = edit ? here.place : (replaced?.place ?? this.ownPlace());
      this.findings.push({
        ...finding,
        place,
        fixes: undefined,
        related: edit ? [] : [{ place: here.place, text: "here, after the change" }],
      });
    }
  }

  // ---------------------------------------------------------------- wires, on the resolved machine

  private applyWires(machine: Machine, written: Rewritten, each: PlacedEdit): Machine {
    const { edit } = each;
    if (edit.edit === "rename") {
      const [from, to] = [edit.part?.text, edit.name?.text];
      const part = from === undefined ? undefined : machine.parts.find(({ name }) => name === from);
      if (!part || to === undefined) this.impossible(each, `There is no part called ${from ?? "so"} to be renamed.`);
      else if (machine.parts.some(({ name }) => name === to))
        this.impossible(each, `Another part is called ${to} already.`);
      else {
        this.renames.set(part.name, to);
        return renamed(machine, part, to);
      }
      return machine;
    }
    // What an edit of this proposal wired is never what it takes out.
    const isOld = (wire: Wire) =>
      wire.kind !== "internal" &&
      !(wire.place.file === machine.file && written.isNew(wire.place.from) && this.isWired(written, wire));
    if (edit.edit === "remove" && edit.wire) {
      const wires = this.wiresOf(machine, edit.wire.links, isOld, each);
      return withoutWires(machine, wires);
    }
    if (edit.edit === "remove") {
      const part = machine.parts.find(({ name }) => name === edit.part?.text);
      if (!part || part.id === machine.supply.part) {
        this.impossible(each, `There is no part called ${edit.part?.text ?? "so"} to be removed.`);
        return machine;
      }
      this.removed.push(part.name);
      return withoutPart(machine, part);
    }
    return edit.edit === "move" ? this.move(machine, isOld, each, edit) : machine;
  }

  private tellWiresOntoRemoved(machine: Machine, written: Rewritten, edits: readonly PlacedEdit[]): void {
    for (const { edit } of edits) {
      if (edit.edit !== "remove" || !edit.part) continue;
      const name = edit.part.text;
      const what = `${name} is taken out by another edit of this proposal.`;
      const part = machine.parts.find((each) => each.name === name);
      for (const wire of machine.wires) {
        if (!part || (machine.terminals[wire.a]!.part !== part.id && machine.terminals[wire.b]!.part !== part.id))
          continue;
        const by = wire.place.file === machine.file ? written.home(wire.place.from, wire.place.to).edit : undefined;
        if (by?.edit.edit === "wire") this.impossible(by, what, "Put the wire on a part that stays.");
      }
      for (const each of edits)
        if (each.edit.edit === "move" && each.edit.target?.part?.text === name)
          this.impossible(each, what, "Move the wire to a part that stays.");
    }
  }

  private isWired(written: Rewritten, wire: Wire): boolean {
    return written.home(wire.place.from, wire.place.to).edit?.edit.edit === "wire";
  }

  private move(
    machine: Machine,
    isOld: (wire: Wire) => boolean,
    each: PlacedEdit,
    edit: ProposalEdit & { edit: "move" },
  ): Machine {
    const target = edit.target && this.pointOf(machine, edit.target, each);
    const point = edit.point && this.pointOf(machine, edit.point, each);
    if (target === undefined) {
      if (!edit.target) this.impossible(each, "It is not said where it goes.");
      return machine;
    }
    if (edit.wire) {
      const wires = this.wiresOf(machine, edit.wire.links, isOld, each);
      const wire = machine.wires[wires[0] ?? -1];
      if (!wire || (edit.point && point === undefined)) return machine;
      const from = point ?? wire.b;
      if (wires.length > 1 || (wire.a !== from && wire.b !== from)) {
        this.impossible(each, "The end that moves is not an end of this wire.");
        return machine;
      }
      return change(machine, [{ edit: "move-wire-end", wire: wire.id, from, to: target }]);
    }
    if (point === undefined) return machine;
    // The end of the one wire on this terminal goes to the new point.
    const wires = machine.wires.filter((wire) => isOld(wire) && (wire.a === point || wire.b === point));
    if (wires.length === 0) this.impossible(each, `No wire is on ${machine.terminals[point]!.fullName}.`);
    if (wires.length > 1)
      this.impossible(
        each,
        `${wires.length} wires are on ${machine.terminals[point]!.fullName}, so it is not clear which one moves.`,
        "Write which: move wire A to B end B to C.",
      );
    if (wires.length !== 1) return machine;
    return change(machine, [{ edit: "move-wire-end", wire: wires[0]!.id, from: point, to: target }]);
  }

  /** Each connection of the chain as one wire of the machine. */
  private wiresOf(
    machine: Machine,
    links: readonly ChainLinkNode[],
    isOld: (wire: Wire) => boolean,
    each: PlacedEdit,
  ): WireId[] {
    const found: WireId[] = [];
    for (let i = 1; i < links.length; i++) {
      const a = this.endOf(machine, links[i - 1]!, "leave", each);
      const b = this.endOf(machine, links[i]!, "enter", each);
      if (a === undefined || b === undefined) continue;
      const wire = machine.wires.find(
        (one) =>
          isOld(one) && !found.includes(one.id) && ((one.a === a && one.b === b) || (one.a === b && one.b === a)),
      );
      if (wire) found.push(wire.id);
      else {
        const [x, y] = [machine.terminals[a]!.fullName, machine.terminals[b]!.fullName];
        this.impossible(
          each,
          `No wire runs straight from ${x} to ${y}.`,
          "Name the two ends of one wire as the text has them.",
        );
      }
    }
    if (links.length < 2) this.impossible(each, "A wire has two ends; name both.");
    return found;
  }

  private endOf(
    machine: Machine,
    link: ChainLinkNode,
    side: "enter" | "leave",
    each: PlacedEdit,
  ): TerminalId | undefined {
    const inner = link[side];
    if (inner && link.part) {
      const point = { part: link.part, terminal: inner, from: link.from, to: link.to };
      return this.pointOf(machine, point, each);
    }
    const part = !link.terminal && machine.parts.find(({ name }) => name === link.part?.text);
    if (part && part.terminals.length > 1) {
      const through = machine.contacts.filter((one) => one.part === part.id);
      const ends = through.length === 1 ? through[0]! : machine.loads.find((one) => one.part === part.id);
      if (ends) return side === "enter" ? ends.a : ends.b;
    }
    return this.pointOf(machine, link, each);
  }

  private pointOf(machine: Machine, point: PointNode, each: PlacedEdit): TerminalId | undefined {
    const name = [point.part?.text, point.terminal?.text].filter((word) => word !== undefined).join(".");
    const terminal = machine.terminals.find(({ fullName }) => fullName === name);
    if (!terminal) this.impossible(each, `There is no terminal ${name} in ${machine.label || "the machine"}.`);
    return terminal?.id;
  }

  // ---------------------------------------------------------------- words

  private ownPlace() {
    const { statement, file } = this.proposed;
    return { file, from: statement.from, to: statement.label?.to ?? statement.from + "proposal".length };
  }

  private impossible(each: PlacedEdit, what: string, advice = "Name things as the machine's own text does."): [] {
    this.tell(each.place, what, advice);
    return [];
  }

  private tell(place: Finding["place"], what: string, advice: string): void {
    const why = "Nothing is said of a proposal that cannot be carried out whole.";
    this.findings.push({ id: "proposal-impossible", gravity: "error", place, what, why, advice, related: [] });
  }
}

/** The type that an edit names. */
function typeNamed(edit: ProposalEdit): NameNode | undefined {
  if (edit.edit === "replace") return edit.byType ?? edit.by?.ofType;
  return edit.edit === "add" ? edit.part.ofType : undefined;
}
