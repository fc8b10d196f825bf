/**
 * Actions are done to the text and the result is analysed again: what they are about is gone, nothing new is wrong, and the rest of
 * the text stands as it stood.
 */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "../../grammar/parse.ts";
import type { Finding } from "../../server/base/finding.ts";
import { type Action, actions, fixAll } from "../../server/editor/actions.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { applyProposal } from "../../server/proposals/apply.ts";
import { Service, type Snapshot } from "../../server/service.ts";
import { findingsOf } from "../checks/analysed.ts";
import { wiresOf } from "../support/fixture.ts";

const file = "bench.camleaf";

async function analysed(text: string): Promise<Snapshot> {
  const service = new Service(nodePlatform);
  service.put(file, 1, text);
  return (await service.analysed(file))!;
}

function done({ edits }: Action, text: string): string {
  let result = text;
  for (const { place, text: word } of [...edits].sort((a, b) => b.place.from - a.place.from))
    result = result.slice(0, place.from) + word + result.slice(place.to);
  return result;
}

const errorsOf = ({ findings }: { findings: readonly Finding[] }) =>
  findings.filter(({ gravity }) => gravity === "error").map(({ id, what }) => `${id}: ${what}`);

/** All lines of the old text stand in the new one in their order, except those that the edits touch. */
function expectRestUntouched(action: Action, before: string, after: string): void {
  let at = 0;
  for (const { place, text } of [...action.edits].sort((a, b) => a.place.from - b.place.from)) {
    const kept = before.slice(at, place.from);
    expect(after.startsWith(kept)).toBe(true);
    after = after.slice(kept.length + text.length);
    at = place.to;
  }
  expect(after).toBe(before.slice(at));
}

/** Does the action of that title at the mark; the marked text without the mark, and what became of it. */
async function act(source: string, title: RegExp) {
  const at = source.indexOf("▮");
  const text = source.replace("▮", "");
  const before = await analysed(text);
  const found = actions(before, at, at);
  const action = found.find((each) => title.test(each.title));
  if (!action) throw new Error(`no such action; there are: ${found.map((each) => each.title).join("; ")}`);
  const changed = done(action, text);
  expectRestUntouched(action, text, changed);
  const after = await analysed(changed);
  const old = new Set(errorsOf(before));
  expect(errorsOf(after).filter((error) => !old.has(error))).toEqual([]);
  const gone =
    action.finding &&
    !after.findings.some(({ id, what }) => id === action.finding!.id && what === action.finding!.what);
  return { action, text: changed, before, after, gone };
}

const crlf = (text: string) => text.replaceAll("\n", "\r\n");

describe("a part that is not declared", () => {
  it("is added as a switch with the terminals and positions that the text speaks of", async () => {
    const source = `supply single 120 V 60 Hz
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
heater HT 1200 W 120 V
wire L to ▮K9.4
wire K9.7 to HL to HT to N
expect HT off when K9 tripped
`;
    const { text, gone, after } = await act(source, /switch called K9/);
    expect(text).toContain("heater HT 1200 W 120 V\nswitch K9 {\n  positions tripped on\n  contact 4 to 7 in on\n}\n");
    expect(gone).toBe(true);
    expect(after.findings.some(({ id }) => id === "unknown-part")).toBe(false);
  });
  it("passed through by a chain, or on a plug, or where wires meet", async () => {
    const through = "supply single 120 V 60 Hz\nlamp LA 10 W 120 V\nwire L to ▮K9 to LA to N\n";
    expect((await act(through, /switch called K9/)).gone).toBe(true);
    expect((await act(crlf(through), /switch called K9/)).text).not.toMatch(/[^\r]\n/);
    const meet =
      "supply single 120 V 60 Hz\nlamp LA 10 W 120 V\nlamp LB 5 W 120 V\nwire L to ▮S1\nwire S1 to LA to N\nwire S1 to LB to N\n";
    expect((await act(meet, /splice called S1/)).gone).toBe(true);
    const plug = "supply single 120 V 60 Hz\nlamp LA 10 W 120 V\nwire L to ▮J1.3\nwire J1.3 to LA to N\n";
    expect(await act(plug, /connector called J1/)).toMatchObject({
      gone: true,
      text: expect.stringContaining("connector J1 pins 3\n"),
    });
  });
  it("or its name is mended to the nearest one", async () => {
    const source = "supply single 120 V 60 Hz\nlamp LAMP 10 W 120 V\nwire L to ▮LAMQ to N\n";
    expect(await act(source, /^Change to LAMP$/)).toMatchObject({ gone: true });
  });
});

describe("metal without a bond", () => {
  it("gets one behind the wires", async () => {
    const source = `supply single 120 V 60 Hz
frame CAB
heater ▮HT 1200 W 120 V frame
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
wire L to HL to HT to N
`;
    const { text, gone } = await act(source, /^Add the bond of HT to PE$/);
    expect(text.endsWith("wire L to HL to HT to N\nbond HT.frame to PE\n")).toBe(true);
    expect(gone).toBe(true);
  });
});

describe("a load that nothing protects", () => {
  const heater = `supply 120/240 V 60 Hz
switch SW 1 to 2 closed in on, open in off rated 30 A 240 V
heater ▮HT 4800 W 240 V
wire L1 to SW.1
wire SW.2 to HT.1
wire SW.2 to HT.1
wire HT.2 to L2
`;
  const motor = `machine "one"
supply single 120 V 60 Hz
motor DM 120 V {
  winding ▮main 1 to 2 runs 5 A pf 0.6 starts 22 A pf 0.6
}
wire L to DM.1
wire DM.2 to N

machine "another"
supply single 120 V 60 Hz
lamp LA 10 W 120 V
wire L to LA to N
`;
  it.each([
    ["heater", heater, "limit"],
    ["heater, CRLF", crlf(heater), "limit"],
    ["heater, no break at the end", heater.trimEnd(), "limit"],
    ["motor", motor, "overload"],
  ])("gets one as a proposal: %s", async (_name, source, kind) => {
    const { action, after } = await act(source, /^Try a (limit|overload) for/);
    expect(action.title).toContain(kind);
    expect(after.machines[0]!.machine.proposals).toHaveLength(1);
    const { machine } = after.machines[0]!;
    const tree = parse(after.text);
    const { statement } = machine.proposals[0]!;
    const applied = applyProposal(machine, new Map([[file, tree]]), { statement, file });
    expect(applied.findings.map(({ what }) => what)).toEqual([]);
    const found = findingsOf(applied.machine!);
    expect(found.filter(({ id }) => id === action.finding!.id)).toEqual([]);
    const old = new Set(after.findings.map(({ id }) => id));
    expect(found.filter(({ id, gravity }) => gravity === "error" && !old.has(id))).toEqual([]);
  });
});

describe("a contact that switches too much", () => {
  const washer = `supply single 120 V 60 Hz breaker 15 A legs L N PE
switch S1 { positions off on
  contact ▮1 to 2 in on  rated 5 A 125 V
}
frame CAB "cabinet"
motor DM 120 V 1/2 hp thermally-protected {
  winding main 1 to 2 runs 7.2 A pf 0.6 starts 26 A pf 0.55
  on CAB
}
wire L to S1 to DM to N
bond CAB to PE
`;

  it("gets a relay as a proposal, which leaves the contact with the coil", async () => {
    const { action, after } = await act(washer, /^Try a relay for S1/);
    const { machine } = after.machines[0]!;
    const { statement } = machine.proposals[0]!;
    const applied = applyProposal(machine, new Map([[file, parse(after.text)]]), { statement, file });
    expect(applied.findings.map(({ what }) => what)).toEqual([]);
    const found = findingsOf(applied.machine!);
    expect(found.filter(({ id }) => id === action.finding!.id)).toEqual([]);
    expect(found.filter(({ gravity }) => gravity === "error")).toEqual([]);
    // The verdict says what the relay is for.
    const outcome = after.findings.find(({ id }) => id === "proposal-outcome")!;
    expect(outcome.what).toBe("a relay for S1.1-2: No new danger found by these checks.");
  });
});

describe("silencing", () => {
  it("leaves room for the reason; with one written the finding is gone", async () => {
    const source = "supply 120/240 V 60 Hz\nheater ▮HT 4800 W 240 V\nwire L1 to HT to L2\n";
    const { text } = await act(source, /^Silence load-without-protector/);
    const reasoned = await analysed(text.replace("without-protector: ", "without-protector: fitted with one inside"));
    expect(reasoned.findings.some(({ id }) => id === "load-without-protector")).toBe(false);
  });
});

describe("a chain", () => {
  it("becomes a line a wire, each with its colour and size, and the circuit stays", async () => {
    const source = `supply 120/240 V 60 Hz
switch S 1 to 2 closed in on, open in off rated 30 A 240 V
limit HL opens 110 C closes 90 C senses HT rated 30 A 240 V
heater HT 4800 W 240 V
motor DM 120 V thermally-protected {
  winding main 4 to 5 runs 5 A
  speed-switch { contact 1 to 2 while running rated 25 A 240 V }
}
  wire L1 to S ▮to HL to HT to DM(2 1) to L2  RD 10 AWG 150 C   # the coil
`;
    const { text, before, after } = await act(source, /^Write this chain as 5 lines$/);
    expect(text.slice(text.indexOf("  wire"))).toBe(`  wire L1 to S.1  RD 10 AWG 150 C
  wire S.2 to HL.1  RD 10 AWG 150 C
  wire HL.2 to HT.1  RD 10 AWG 150 C
  wire HT.2 to DM.2  RD 10 AWG 150 C
  wire DM.1 to L2  RD 10 AWG 150 C   # the coil
`);
    const wires = ({ machines }: Snapshot) => {
      const { machine } = machines[0]!;
      return machine.wires.map(({ colour, area, insulation }, i) => [wiresOf(machine)[i], colour, area, insulation]);
    };
    expect(wires(after)).toEqual(wires(before));
  });
  it("of two points, or with a name that is not known, is left alone", async () => {
    for (const wire of ["wire L1 to▮ HT.1", "wire L1 to▮ HX to HT"]) {
      const source = `supply 120/240 V 60 Hz\nheater HT 4800 W 240 V\n${wire}\n`;
      await expect(act(source, /chain/)).rejects.toThrow(/no such action/);
    }
  });
});

describe("a chart row", () => {
  const chart = `supply single 120 V 60 Hz
timer TM {
  drive M1 to M2  120 V draws 33 mA pf 0.65
  contact run  A to B  rated 15 A 125 V
  contact heat C to D  rated 15 A 125 V
  contact adv  E to K or R
  chart 5 min per step {
    steps  off 1  timed 12      cool 2  auto 8
    run    -      XXXXXXXXXXXX  XX      XXXXXXXX
    heat   -      --XXXXXXXXXX  --      XXXXXX--
    adv    -      111111111111  11      22222222
  }
}
`;
  const closed = ({ machines }: Snapshot) =>
    machines[0]!.machine.contacts.map(({ name, closed: when }) => [name, when]);
  it("is said in words, and the words are drawn as the row again", async () => {
    const words = await act(chart.replace("--XXXX", "--▮XXXX"), /^Say in words when heat is closed$/);
    expect(words.text).toContain("contact heat C to D closed in timed 3..12 or auto 1..6  rated 15 A 125 V\n");
    expect(words.text).not.toMatch(/^ +heat /m);
    expect(closed(words.after)).toEqual(closed(words.before));
    const row = await act(words.text.replace("heat C", "heat▮ C"), /^Draw heat as a row of the chart$/);
    expect(row.text).toContain("    heat   -      --XXXXXXXXXX  --      XXXXXX--\n");
    expect(row.text).toContain("contact heat C to D  rated 15 A 125 V\n");
    expect(closed(row.after)).toEqual(closed(words.before));
  });
  it("of a changeover is left alone", async () => {
    await expect(act(chart.replace("adv    -", "a▮dv    -"), /in words/)).rejects.toThrow(/no such action/);
  });
});

describe("mending all at once", () => {
  it("does what can only be meant one way and nothing else", async () => {
    const text =
      'supply single 120 V 60 Hz\nlamp LAMP “one” 10 W 120 V\nmotor DM 120 V\n  winding main 1 to 2 runs 5 A\n}\nwire L to LAMQ to N\nnote LAMP "open\n';
    const before = await analysed(text);
    const action = fixAll(before)!;
    const changed = done(action, text);
    expect(changed).toContain('lamp LAMP "one" 10 W');
    expect(changed).toContain('note LAMP "open"');
    expect(changed).toContain("LAMQ"); // which part is meant, a person must say
    const after = await analysed(changed);
    const fresh = new Set(errorsOf(before));
    expect(errorsOf(after).filter((error) => !fresh.has(error))).toEqual([]);
    expect(fixAll(after)).toBeUndefined();
  });
});

describe("every action on every sample", () => {
  const folder = new URL("../../samples/", import.meta.url);
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".camleaf"));
  it("leaves the rest of the text alone, and rewrites change nothing of the machine", async () => {
    for (const name of names) {
      const text = readFileSync(new URL(name, folder), "utf8");
      const view = await analysed(text);
      const seen = new Set<string>();
      for (const { from } of view.tree.tokens) {
        for (const action of actions(view, from, from)) {
          const key = JSON.stringify(action.edits);
          if (seen.has(key)) continue;
          seen.add(key);
          const changed = done(action, text);
          expectRestUntouched(action, text, changed);
          if (action.kind !== "rewrite") continue;
          const same = (each: string) =>
            resolveMachines(new Map([[file, parse(each)]]), file).map(({ contacts, wires, terminals, loads }) => ({
              contacts: contacts.map(({ name: own, a, b, closed: when }) => [own, a, b, when]),
              wires: wires.map(({ a, b, colour, area }) => [a, b, colour, area]).sort(),
              terminals: terminals.map(({ fullName }) => fullName),
              loads: loads.map(({ name: own }) => own),
            }));
          expect(same(changed), `${name}: ${action.title}`).toEqual(same(text));
        }
      }
    }
  });
});

describe("a proposal that is done", () => {
  const source = `supply single 120 V 60 Hz legs L N PE
frame CAB "cabinet"
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
heater HT 1200 W 120 V on CAB
wire L to HL to HT to N
bond CAB to PE
proposal "▮a smaller coil" {
  change HT to 1000 W
}
`;

  it("is written into the machine, and the machine is what the proposal said", async () => {
    const { text, after, gone } = await act(source, /^Write "a smaller coil" into the machine$/);
    expect(text).toContain("heater HT 1000 W 120 V on CAB\n");
    expect(text).not.toContain("proposal");
    expect(gone).toBe(true);
    expect(errorsOf(after)).toEqual([]);
  });

  it("may leave its lines as a remark", async () => {
    const { text } = await act(source, /kept as a remark/);
    expect(text).toMatch(/# Done: a smaller coil\n# {3}change HT to 1000 W\n$/);
  });

  it("is not written into the machine when it bridges a protector", async () => {
    const bridged = source.replace("change HT to 1000 W", "jumper HL.1 to HL.2");
    await expect(act(bridged, /into the machine/)).rejects.toThrow("no such action");
  });
});
