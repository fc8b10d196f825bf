/** Wires: chains to single connections, in at one terminal of a part and out at another. */
import { andList } from "../../grammar/suggest.ts";
import type { ChainLinkNode, NameNode, WireStatement } from "../../grammar/tree.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { TerminalId } from "./machine.ts";
import { innerNamed, meantBy, partNamed } from "./points.ts";

interface Ends {
  readonly enter?: TerminalId;
  readonly leave?: TerminalId;
}

type Seat = "head" | "middle" | "tail";

export function addChain(draft: Draft, statement: WireStatement): void {
  let previous: { leave?: TerminalId; link: ChainLinkNode } | undefined;
  statement.links.forEach((link, index) => {
    const seat: Seat = index === 0 ? "head" : index === statement.links.length - 1 ? "tail" : "middle";
    const ends = linkEnds(draft, link, seat);
    if (statement.links.length === 1 || (previous && (previous.leave === undefined || ends.enter === undefined)))
      for (const lost of [previous?.link, link]) noteLost(draft, lost, statement);
    if (previous?.leave !== undefined && ends.enter !== undefined) {
      if (previous.leave === ends.enter) tellSame(draft, link);
      draft.addWire({
        a: previous.leave,
        b: ends.enter,
        kind: statement.word,
        colour: statement.colour?.text,
        area: statement.size?.value,
        sizeText: statement.size?.text,
        length: statement.length?.value,
        insulation: statement.insulation?.value,
        place: { file: draft.file, from: previous.link.from, to: link.to },
      });
    }
    previous = { leave: ends.leave, link };
  });
}

/** A connection that is not understood: what else is said of the part at its end only follows from that. */
function noteLost(draft: Draft, link: ChainLinkNode | undefined, statement: WireStatement): void {
  const part = link?.part && draft.partNames.get(link.part.text);
  if (part) part.lostWire ??= draft.place(statement);
}

function tellSame(draft: Draft, link: ChainLinkNode): void {
  draft.find("wire-to-itself", "warning", draft.place(link), {
    what: "This wire starts and ends at the same terminal.",
    why: "It joins nothing.",
    advice: "Name the terminal that it really goes to.",
  });
}

/** Where the chain enters and leaves one link. Both ends are one terminal when the text names a terminal. */
function linkEnds(draft: Draft, link: ChainLinkNode, seat: Seat): Ends {
  if (link.enter || link.leave) return bracketed(draft, link);
  const meant = meantBy(draft, link, draft.file);
  if (!meant) return {};
  if (meant.type === "terminal") return { enter: meant.terminal, leave: meant.terminal };
  if (meant.type === "load") {
    const load = draft.loads[meant.load]!;
    return { enter: load.a, leave: load.b };
  }
  if (meant.type === "contact") {
    if (meant.contacts.length > 1) {
      tellNameTerminal(draft, link, meant.part, seat);
      return {};
    }
    const contact = draft.contacts[meant.contacts[0]!]!;
    return { enter: contact.a, leave: contact.b };
  }
  return throughPart(draft, link, meant.part, seat);
}

function bracketed(draft: Draft, link: ChainLinkNode): Ends {
  if (!link.part) return {};
  const part = partNamed(draft, link.part, draft.file);
  if (!part) return {};
  const terminalOf = (name: NameNode | undefined) => {
    if (!name) return undefined;
    const meant = innerNamed(draft, part, name, draft.file);
    if (!meant || meant.type === "terminal") return meant?.terminal;
    draft.find("wrong-kind", "error", draft.place(name), {
      what: `${name.text} of ${part.name} is no terminal.`,
      advice: "Between brackets stand the terminal the wire comes in at and the one it goes on from.",
    });
    return undefined;
  };
  return { enter: terminalOf(link.enter), leave: terminalOf(link.leave) };
}

/** A part without terminal: in at the first of its two terminals, out at the second. */
function throughPart(draft: Draft, link: ChainLinkNode, part: PartDraft, seat: Seat): Ends {
  const pair = passThrough(draft, part);
  if (pair) return { enter: pair[0], leave: pair[1] };
  const terminals = part.terminals.filter((id) => id !== part.frame);
  if (terminals.length === 1) return { enter: terminals[0], leave: terminals[0] };
  tellNameTerminal(draft, link, part, seat);
  return {};
}

function passThrough(draft: Draft, part: PartDraft): readonly [TerminalId, TerminalId] | undefined {
  const terminals = part.terminals.filter((id) => id !== part.frame);
  const contact = part.contacts.length === 1 ? draft.contacts[part.contacts[0]!] : undefined;
  // A thermostat with a bias heater is passed through its contact; other parts when they have two terminals in all.
  if (contact && (terminals.length === 2 || contact.role !== "switching")) return [contact.a, contact.b];
  if (terminals.length !== 2) return undefined;
  const load = part.loads.length === 1 ? draft.loads[part.loads[0]!] : undefined;
  if (load) return [load.a, load.b];
  return part.contacts.length > 1 || part.kind === "connector" ? undefined : [terminals[0]!, terminals[1]!];
}

function tellNameTerminal(draft: Draft, link: ChainLinkNode, part: PartDraft, seat: Seat): void {
  const names = part.terminals.filter((id) => id !== part.frame).map((id) => draft.terminals[id]!.name);
  const contact = part.contacts.find((id) => draft.contacts[id]!.partner !== undefined);
  const changeover = contact !== undefined && names.length <= 3;
  const example =
    seat === "middle" && names.length > 1 ? `${part.name}(${names[0]} ${names[1]})` : `${part.name}.${names[0] ?? "1"}`;
  draft.find("name-the-terminal", "error", draft.place(link), {
    what:
      names.length === 0
        ? `${part.name} has no terminals yet.`
        : changeover
          ? `${part.name} is a changeover, so the wire could leave it at either side.`
          : `${part.name} has ${names.length} terminals, so it is not clear which ones this wire uses.`,
    why: "This connection is left out until the terminal is named.",
    advice:
      names.length === 0
        ? "Describe its contacts or windings first."
        : `Name the terminal, as in ${example}; it has ${andList(names)}.`,
  });
}
