/** The command line as a person runs it: dist/cli.js in a process of its own (built by `npm test` before the tests). */
import { execFile } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";

const root = join(import.meta.dirname, "../..");
const folder = mkdtempSync(join(tmpdir(), "camleaf-cli-"));
afterAll(() => rmSync(folder, { recursive: true }));

interface Ran {
  readonly exit: number;
  readonly out: string;
  readonly complaints: string;
}

function camleaf(...args: string[]): Promise<Ran> {
  return new Promise((done) => {
    execFile(process.execPath, [join(root, "dist/cli.js"), ...args], { cwd: root }, (error, out, complaints) => {
      done({ exit: error ? Number(error.code) : 0, out, complaints });
    });
  });
}

function file(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

const dryer = "samples/electric-dryer.camleaf";

describe("camleaf check", () => {
  it("shows the line, marks the place, and leaves with 1 where there is an error", async () => {
    const path = file(
      "bare.camleaf",
      'machine "m"\nsupply 120/240 V 60 Hz\n# 🧺\nheater HT 5400 W 240 V\nwire L1 to HT to L2\n',
    );
    const { exit, out } = await camleaf("check", path);
    expect(exit).toBe(1);
    expect(out).toContain(`${path}:4:8: error: `);
    expect(out).toContain("[load-without-protector]");
    expect(out).toContain("4 | heater HT 5400 W 240 V\n    |        ^^");
    expect(out).toContain("A state that shows it: ");
    expect(out).not.toContain("\u001b["); // no colour where no terminal is
  });

  it("tells half a wire first, and that the rest may only follow from it", async () => {
    const path = file(
      "half.camleaf",
      'machine "m"\nsupply single 120 V 60 Hz legs L N PE\nheater HT 500 W 120 V attended\nlamp PL 5 W 120 V\nwire L to PL to N\nwire L to\nexpect HT heats\n',
    );
    const { out } = await camleaf("check", path);
    const ids = [...out.matchAll(/\[([a-z-]+)\]$/gm)].map(([, id]) => id);
    expect(ids[0]).toBe("unfinished");
    expect(ids).toContain("unused-part");
    expect(out).toContain("The error of writing comes first: what stands below it may only follow from it.");
    expect((await camleaf("check", dryer)).out).not.toContain("of writing");
  });

  it("leaves with 0 when there is nothing graver than a note", async () => {
    const { exit, out } = await camleaf("check", dryer);
    expect(exit).toBe(0);
    expect(out).toContain('is not "safe"');
  });

  it("prints JSON for programs, with lines and columns", async () => {
    const path = file("typo.camleaf", 'machine "m"\nsupply 120 V 60 Hz\nheatr HT 500 W 120 V\n');
    const { exit, out } = await camleaf("check", "--json", path);
    expect(exit).toBe(1);
    const [checked] = JSON.parse(out) as [{ complete: boolean; findings: { id: string; place: { from: unknown } }[] }];
    expect(checked.complete).toBe(true);
    expect(checked.findings).toContainEqual(
      expect.objectContaining({ id: "unknown-word", place: expect.objectContaining({ from: { line: 3, column: 1 } }) }),
    );
  });

  it("says which file it cannot read, checks the others, and leaves with 2", async () => {
    const { exit, out, complaints } = await camleaf("check", "no-such-file.camleaf", dryer);
    expect(exit).toBe(2);
    expect(complaints).toContain("no-such-file.camleaf: there is no such file");
    expect(out).toContain(dryer);
  });
});

describe("camleaf solve", () => {
  it("solves the state that is asked for: 5400 W at 240 V are 22.5 A (watts / volts)", async () => {
    const { exit, out } = await camleaf("solve", dryer, "--when", "TM in timed, DM running");
    expect(exit).toBe(0);
    expect(out).toMatch(/HT +240 V +22\.5 A +5\.4 kW/);
    expect(out).toMatch(/TM\.heat +closed +22\.5 A/);
  });

  it("gives the same numbers as JSON", async () => {
    const { out } = await camleaf("solve", dryer, "--json", "--when", "TM in timed, DM running");
    const { loads } = JSON.parse(out) as { loads: { name: string; amps: number }[] };
    expect(loads.find(({ name }) => name === "HT")?.amps).toBeCloseTo(5400 / 240, 9);
  });

  it("says so when the machine can never stand like that", async () => {
    const { exit, complaints } = await camleaf("solve", dryer, "--when", "DOOR open, DM running");
    expect(exit).toBe(1);
    expect(complaints).toContain("no state that the machine can reach");
  });

  it("names the controls when a name in the condition is unknown", async () => {
    const { exit, complaints } = await camleaf("solve", dryer, "--when", "DORR open");
    expect(exit).toBe(2);
    expect(complaints).toContain("DOOR (shut, open)");
  });
});

describe("camleaf overview", () => {
  it("tells loads, contacts, findings and cautions, and leaves with 0", async () => {
    const { exit, out } = await camleaf("overview", dryer);
    expect(exit).toBe(0);
    for (const words of ["What each load gets", "What each contact switches", "Findings", "Local codes", "22.5 A"])
      expect(out).toContain(words);
  });
});
