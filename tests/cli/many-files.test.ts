/** Folders, patterns, threads, SARIF, putting in order, watching, and the way back from a write-up. */
import { execFile, spawn } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Ajv from "ajv-draft-04";
import { afterAll, describe, expect, it } from "vitest";
import schema from "./sarif-2.1.0.schema.json" with { type: "json" };

const root = join(import.meta.dirname, "../..");
const cli = join(root, "dist/cli.js");
const folder = mkdtempSync(join(tmpdir(), "camleaf-many-"));
afterAll(() => rmSync(folder, { recursive: true }));

function camleaf(...args: string[]): Promise<{ exit: number; out: string; complaints: string }> {
  return new Promise((done) => {
    const options = { cwd: folder, maxBuffer: 1 << 26 };
    execFile(process.execPath, [cli, ...args], options, (error, out, complaints) =>
      done({ exit: error ? Number(error.code) : 0, out, complaints }),
    );
  });
}

const faulty = 'machine "m"\nsupply 120/240 V 60 Hz\nheater HT "🧺" 5400 W 240 V\nwire L1 to HT to L2\n';

describe("many files", () => {
  mkdirSync(join(folder, "shop/deep"), { recursive: true });
  for (let n = 0; n < 30; n++) writeFileSync(join(folder, `shop/deep/m${String(n).padStart(2, "0")}.camleaf`), faulty);
  copyFileSync(join(root, "samples/fan-heater.camleaf"), join(folder, "shop/fan.camleaf"));
  writeFileSync(join(folder, "shop/notes.txt"), "no machine");

  it("are found in folders and by patterns, checked on threads, and told in order, the same as one by one", async () => {
    const all = JSON.parse((await camleaf("check", "--json", "shop")).out) as { file: string; findings: unknown[] }[];
    expect(all.map(({ file }) => file)).toEqual([
      ...Array.from({ length: 30 }, (_, n) => `shop/deep/m${String(n).padStart(2, "0")}.camleaf`),
      "shop/fan.camleaf",
    ]);
    const [one] = JSON.parse((await camleaf("check", "--json", "shop/deep/m00.camleaf")).out) as typeof all;
    expect(all[0]).toEqual(one);
    const some = await camleaf("check", "shop/**/m0?.camleaf");
    expect(some.out).toContain("10 files: 10 with errors");
    expect(some.exit).toBe(1);
  });

  it("say what is not there", async () => {
    const { exit, complaints } = await camleaf("check", "shop/*.nothing", "shop/absent.camleaf", "shop/fan.camleaf");
    expect(exit).toBe(2);
    expect(complaints).toContain("shop/*.nothing: no file of a machine (.camleaf) is there");
    expect(complaints).toContain("shop/absent.camleaf: there is no such file");
  });

  it("are told in SARIF that the schema of OASIS SARIF 2.1.0 accepts, with columns counted in characters", async () => {
    const { out } = await camleaf("check", "--format", "sarif", "shop/deep/m00.camleaf", "shop/fan.camleaf");
    const log = JSON.parse(out);
    // The schema's own formats (uri, date-time) are not loaded: addresses are looked at below.
    const valid = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(schema);
    expect(valid(log) ? [] : valid.errors).toEqual([]);
    expect(valid({ ...log, version: "2.0.0" })).toBe(false);
    const found = log.runs[0].results.find(({ ruleId }: { ruleId: string }) => ruleId === "load-without-protector");
    expect(found.level).toBe("error");
    const { artifactLocation, region } = found.locations[0].physicalLocation;
    expect(artifactLocation.uri).toBe("shop/deep/m00.camleaf");
    expect(region).toMatchObject({ startLine: 3, startColumn: 8 });
  });
});

describe("camleaf format", () => {
  it("names what is not in order, puts it in order, and then has nothing to say", async () => {
    const file = join(folder, "untidy.camleaf");
    writeFileSync(file, faulty.replace("wire L1", "   wire L1"));
    expect(await camleaf("format", "--check", file)).toMatchObject({ exit: 1, out: `${file}: not in order\n` });
    expect((await camleaf("format", "--print", file)).out).toBe(faulty);
    expect(await camleaf("format", file)).toMatchObject({ exit: 0, out: `${file}: put in order\n` });
    expect(readFileSync(file, "utf8")).toBe(faulty);
    expect(await camleaf("format", "--check", file)).toMatchObject({ exit: 0, out: "" });
  });
});

describe("camleaf text-of", () => {
  it("gets the same text back out of a write-up, to the byte", async () => {
    const text = `${faulty}note HT "it's 50 % & <b>bold</b>, Lüfter"\n`;
    const source = join(folder, "handed.camleaf");
    writeFileSync(source, text);
    await camleaf("write-up", source, "--out", join(folder, "page.html"));
    await camleaf("text-of", join(folder, "page.html"), "--out", join(folder, "back.camleaf"));
    expect(readFileSync(join(folder, "back.camleaf"), "utf8")).toBe(text);
    expect((await camleaf("text-of", join(folder, "shop/notes.txt"))).exit).toBe(2);
  });
});

describe("camleaf write-up", () => {
  it("puts photos of notes into the page, says which are missing, and gives the same bytes again", async () => {
    const source = join(folder, "photo.camleaf");
    // The smallest GIF there is: one transparent dot (CompuServe GIF89a).
    const dot = "R0lGODlhAQABAIAAAAAAAP///yH5BAEAAAAALAAAAAABAAEAAAIBRAA7";
    writeFileSync(join(folder, "coil.gif"), Buffer.from(dot, "base64"));
    writeFileSync(source, `${faulty}note HT "new coil" photo "coil.gif"\nnote HT "old coil" photo "gone.jpg"\n`);
    const page = join(folder, "photo.html");
    const { complaints } = await camleaf("write-up", source, "--out", page);
    expect(complaints).toContain("gone.jpg cannot be read");
    const html = readFileSync(page, "utf8");
    expect(html).toContain(`<img src="data:image/gif;base64,${dot}" alt="HT: new coil">`);
    expect(html).toContain("(photo gone.jpg, not in this page)");
    await camleaf("write-up", source, "--out", page);
    expect(readFileSync(page, "utf8")).toBe(html);
  });

  it("takes no picture from outside the file's own folder along", async () => {
    const inside = join(folder, "shop/stranger.camleaf");
    const secret = Buffer.from("R0lGODlhAQABAIAAAAAAAP///yH5BAEAAAAALAAAAAABAAEAAAIBRAA7", "base64");
    writeFileSync(join(folder, "secret.gif"), secret);
    writeFileSync(
      inside,
      `${faulty}note HT "a" photo "../secret.gif"\nnote HT "b" photo "deep/../../secret.gif"\nnote HT "c" photo "${join(folder, "secret.gif")}"\n`,
    );
    const page = join(folder, "stranger.html");
    const { complaints } = await camleaf("write-up", inside, "--out", page);
    expect(complaints.match(/cannot be read/g)).toHaveLength(3);
    expect(readFileSync(page, "utf8")).not.toContain("data:image");
    rmSync(inside);
  });
});

describe("camleaf watch", () => {
  it("checks again when the file is saved, and ends when told to", async () => {
    const file = join(folder, "watched.camleaf");
    writeFileSync(file, faulty);
    const child = spawn(process.execPath, [cli, "watch", file]);
    let out = "";
    const printed = (text: string) =>
      new Promise<void>((done) => {
        const look = (data?: unknown) => {
          out += data === undefined ? "" : String(data);
          if (!out.includes(text)) return;
          child.stdout.off("data", look);
          done();
        };
        child.stdout.on("data", look);
        look();
      });
    await printed("Waiting for changes");
    expect(out).toContain("1 error");
    out = "";
    writeFileSync(file, faulty.replaceAll("HT", "HTX").replace("wire L1 to HTX", "wire L1 to HTY"));
    await printed("HTY");
    child.kill("SIGTERM");
    expect(await new Promise((done) => child.once("exit", done))).toBe(0);
  });
});
