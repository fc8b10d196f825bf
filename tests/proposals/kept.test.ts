/** A file of proposals about a machine of another file, edited on and on: told is what a service that has just seen the texts tells. */
import { describe, expect, it } from "vitest";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";

const MACHINE = `machine "Larkfield spinner"
supply single 120 V 60 Hz
switch LID {
  positions shut open
  contact 1 to 2 in shut  rated 15 A 125 V
}
switch PS {
  positions off on
  contact 1 to 2 in on  rated 10 A 125 V
}
motor SM "spin motor" 120 V thermally-protected {
  winding main 1 to 2  runs 3 A pf 0.6  starts 8 A pf 0.6  resistance 6 ohm
  moves "basket" guarded by LID in shut
}
heater HT "sump heater" 800 W 120 V
wire L to PS to LID to SM to N
wire LID.2 to HT to N
`;

const PROPOSALS = `use "machine.camleaf"

proposal "lid held" {
  jumper LID.1 to LID.2
}

proposal "a valve more" {
  add valve V9 "rinse valve" 120 V draws 80 mA pf 0.4 resistance 900 ohm
  wire LID.2 to V9 to N
  jumper PS.1 to PS.2
}
`;

const folder = "/bench";
const [machineFile, proposalFile] = [`${folder}/machine.camleaf`, `${folder}/proposals.camleaf`];

function serviceWith(machine: string): Service {
  const service = new Service(nodePlatform);
  service.folders = [folder];
  service.put(machineFile, 1, machine);
  return service;
}

async function told(service: Service, version: number, text: string) {
  service.put(proposalFile, version, text);
  const { proposals, findings } = (await service.analysed(proposalFile))!;
  return {
    findings,
    // Where the findings stand that lines were made of is not told.
    verdicts: proposals!.map(({ comparison: { verdict, causes, fits } }) => ({
      lines: verdict?.lines.map(({ finding, ...line }) => line),
      causes: [...(causes ?? [])],
      fits,
    })),
  };
}

describe("a file of proposals, edited", () => {
  const edits: { readonly what: string; readonly machine?: [string, string]; readonly proposals?: [string, string] }[] =
    [
      { what: "as written" },
      { what: "another resistance of what is added", proposals: ["900 ohm", "450 ohm"] },
      { what: "a jumper elsewhere", proposals: ["jumper LID.1 to LID.2", "jumper PS.1 to LID.2"] },
      { what: "a smaller rating in the machine", machine: ["rated 10 A 125 V", "rated 2 A 125 V"] },
      { what: "other watts in the machine", machine: ["800 W", "1500 W"] },
      { what: "a line more above the machine", machine: ["machine ", "# a note\nmachine "] },
      { what: "the second jumper taken out", proposals: ["  jumper PS.1 to PS.2\n", ""] },
      {
        what: "a switch wired otherwise in the machine",
        machine: ["wire L to PS to LID to SM to N", "wire L to LID to PS to SM to N"],
      },
      { what: "a name spelt wrong", proposals: ["add valve V9", "add valve V10"] },
      { what: "spelt right again", proposals: ["add valve V10", "add valve V9"] },
    ];

  it("is told as if it had just been opened", async () => {
    const session = serviceWith(MACHINE);
    let [machine, proposals] = [MACHINE, PROPOSALS];
    let dangers = 0;
    for (const [index, edit] of edits.entries()) {
      if (edit.machine) {
        machine = machine.replace(...edit.machine);
        session.put(machineFile, index + 2, machine);
      }
      if (edit.proposals) proposals = proposals.replace(...edit.proposals);
      const kept = await told(session, index + 1, proposals);
      const fresh = await told(serviceWith(machine), 1, proposals);
      expect(kept, edit.what).toEqual(fresh);
      for (const { lines } of kept.verdicts) dangers += lines?.filter(({ key }) => key !== undefined).length ?? 0;
    }
    expect(dangers).toBeGreaterThan(5);
  }, 120_000);

  it("knows what stands between the statements: a line that is nothing goes on from one that is put before it", async () => {
    const machine = MACHINE.slice(0, MACHINE.indexOf("motor"));
    const proposal = 'proposal "a lamp more" {\n  add lamp DL 10 W 120 V\n  wire L to DL to N\n}\n';
    const text = (stray: string) => `${machine}${stray}\n${proposal}`;
    const session = new Service(nodePlatform);
    const judged: boolean[] = [];
    for (const [index, stray] of ["brokn LID", "  brokn LID", "brokn PS"].entries()) {
      const verdicts: unknown[] = [];
      for (const service of [session, new Service(nodePlatform)]) {
        service.put(machineFile, index + 1, text(stray));
        const { proposals, findings } = (await service.analysed(machineFile))!;
        verdicts.push({ told: proposals!.map(({ comparison }) => comparison.verdict !== undefined), findings });
      }
      expect(verdicts[0], stray).toEqual(verdicts[1]);
      judged.push((verdicts[1] as { told: boolean[] }).told[0]!);
    }
    expect(new Set(judged).size, "one of the texts lets the line go on from the proposal's wire").toBe(2);
  });
});
