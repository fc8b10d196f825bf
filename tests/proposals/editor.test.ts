/** Proposals as the editor, the command line and the write-up tell them. */
import { execFile } from "node:child_process";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { proposalLens } from "../../server/editor/lenses.ts";
import { writeUp } from "../../server/editor/write-up.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";

const root = join(import.meta.dirname, "../..");
const machine = `machine "m"
supply 120 V 60 Hz
switch LID "lid switch" { positions shut open
  contact 1 to 2 in shut  rated 15 A 125 V
}
motor SM "spin motor" 120 V 1/4 hp thermally-protected {
  winding main 1 to 2 runs 4 A pf 0.6 resistance 3 ohm
  moves "basket" guarded by LID in shut
}
wire L1 to LID to SM to N
wire L to LID to SM to N
`.replace("wire L1 to LID to SM to N\n", "");
const held = `${machine}proposal "lid held" {
  jumper LID.1 to LID.2
}
`;

async function analysed(text: string) {
  const service = new Service(nodePlatform);
  service.put("/a.camleaf", 1, text);
  return (await service.analysed("/a.camleaf"))!;
}

describe("a proposal in the editor", () => {
  it("is told at its label and at the lead that defeats the guard, loudest first", async () => {
    const { findings, text } = await analysed(held);
    const own = findings.filter(({ id }) => id.startsWith("proposal-"));
    expect(own.map(({ id, place }) => [id, text.slice(place.from, place.to)])).toEqual([
      ["proposal-outcome", '"lid held"'],
      ["proposal-bridges", "jumper LID.1 to LID.2"],
    ]);
    expect(own[0]!.what).toMatch(/^lid held: DANGER: LID\.1-2 \(lid switch\) is bridged\. This must be removed/);
    expect(own[1]!.what).toContain("basket can move or be live with its guard open");
    expect(own[1]!.state?.positions).toContainEqual({ control: "LID", position: "open" });
  });

  it("says what stands in the way at the edit itself", async () => {
    const { findings, text } = await analysed(held.replace("jumper LID.1 to LID.2", "remove wire LID.1 to N"));
    const own = findings.filter(({ place }) => place.from > machine.length);
    expect(own.map(({ place }) => text.slice(place.from, place.to)).join()).toContain("LID.1 to N");
    expect(own.some(({ id }) => id === "proposal-outcome")).toBe(false);
  });

  it("never calls a change safe", async () => {
    const { findings } = await analysed(
      held.replace("jumper LID.1 to LID.2", "add lamp PL 5 W 120 V\n  wire L to PL to N"),
    );
    const outcome = findings.find(({ id }) => id === "proposal-outcome")!;
    expect(outcome.gravity).toBe("information");
    expect(outcome.what).toBe("lid held: No new danger found by these checks.");
    expect(`${outcome.why} ${outcome.advice}`).not.toMatch(/\bsafe\b/i);
  });

  it("has its outcome in a line above it, and a section in the write-up with the cautions", async () => {
    const snapshot = await analysed(held);
    expect(proposalLens(snapshot, "lid held")).toMatch(/^DANGER: LID\.1-2/);
    const page = writeUp(snapshot, snapshot.machines[0]!, "a.camleaf");
    expect(page).toMatch(/<h3>lid held<\/h3>\n<p><strong>DANGER/);
    expect(page).toContain("Unplug the machine, and let capacitors discharge");
  });

  it("is worked out again only when it or its machine changes", async () => {
    const service = new Service(nodePlatform);
    service.put("/a.camleaf", 1, held);
    const first = (await service.analysed("/a.camleaf"))!.proposals![0]!.comparison;
    service.put("/a.camleaf", 2, `${held}# a remark\n`);
    expect((await service.analysed("/a.camleaf"))!.proposals![0]!.comparison).toBe(first);
    service.put("/a.camleaf", 3, held.replace("runs 4 A", "runs 5 A"));
    expect((await service.analysed("/a.camleaf"))!.proposals![0]!.comparison).not.toBe(first);
  });

  it("follows the proposal that it stands on", async () => {
    const both = (edit: string) =>
      `${machine}proposal "a" {\n  ${edit}\n}\nproposal "b" with "a" {\n  add lamp PL 5 W 120 V\n  wire L to PL to N\n}\n`;
    const service = new Service(nodePlatform);
    const headline = async () => (await service.analysed("/a.camleaf"))!.proposals![1]!.comparison.verdict!.headline;
    service.put("/a.camleaf", 1, both("change SM to 115 V"));
    expect(await headline()).not.toMatch(/bridged/);
    service.put("/a.camleaf", 2, both("jumper LID.1 to LID.2"));
    expect(await headline()).toMatch(/LID.* is bridged/);
  });
});

describe("camleaf compare", () => {
  const camleaf = (...args: string[]) =>
    new Promise<{ exit: number; out: string }>((done) => {
      execFile(process.execPath, [join(root, "dist/cli.js"), ...args], { cwd: root }, (error, out) =>
        done({ exit: error ? Number(error.code) : 0, out }),
      );
    });

  it("leaves with 1 for danger, 3 for trouble, 0 for neither", async () => {
    const exit = async (name: string) => (await camleaf("compare", `samples/proposals/${name}.camleaf`)).exit;
    expect(await exit("lid-held-for-spin-test")).toBe(1);
    expect(await exit("dryer-on-208-volts")).toBe(3);
    expect(await exit("relay-for-the-motor")).toBe(0);
  });

  it("prints data, and compares two files as they stand", async () => {
    const { out } = await camleaf("compare", "samples/proposals/relay-for-the-motor.camleaf", "--json");
    const [told] = JSON.parse(out);
    expect(told).toMatchObject({ proposal: "relay for the drive motor", gravest: "change", cannot: [] });
    // The point of the relay: the timer contact no longer makes the motor's starting current.
    const makes = told.difference.contacts.find(
      ({ contact, act }: { contact: string; act: string }) => contact.startsWith("TM.spin") && act === "makes",
    );
    expect(makes.after).toBeLessThan(makes.before / 20);
    const same = await camleaf("compare", "samples/fan-heater.camleaf", "samples/fan-heater.camleaf");
    expect(same).toMatchObject({ exit: 0 });
    expect(same.out).toContain("No difference, and no new danger found by these checks.");
  });
});
