/** The picture commands: what they write, what they say when they cannot. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test, vi } from "vitest";
import { paintFor } from "../../server/cli/paint.ts";
import { chart, drawing } from "../../server/cli/picture-commands.ts";
import { findBrowser } from "../../server/cli/rasterise.ts";
import { chromiumPath } from "../editor-host/chromium.ts";

const folder = mkdtempSync(join(tmpdir(), "camleaf-pictures-"));
afterAll(() => rmSync(folder, { recursive: true }));
const sample = (name: string) => join(import.meta.dirname, "../../samples", name);

function listener() {
  const said: string[] = [];
  const complaints: string[] = [];
  const output = {
    line: (text: string) => void said.push(text),
    complaint: (text: string) => void complaints.push(text),
    paint: paintFor(false, {}),
  };
  return { said, complaints, output };
}

test("a drawing goes to a file, the same bytes each time", async () => {
  const [one, two] = [join(folder, "one.svg"), join(folder, "two.svg")];
  const { output, said } = listener();
  expect(await drawing(sample("top-loading-washer.camleaf"), { out: one }, output)).toBe(0);
  expect(await drawing(sample("top-loading-washer.camleaf"), { out: two }, output)).toBe(0);
  expect(readFileSync(one, "utf8")).toBe(readFileSync(two, "utf8"));
  expect(readFileSync(one, "utf8")).toMatch(/^<svg [\s\S]*DM\.high[\s\S]*<\/svg>\n$/);
  expect(said).toEqual([]);
});

test("a live drawing says its state; one that cannot be is refused", async () => {
  const { output, said, complaints } = listener();
  expect(await drawing(sample("electric-dryer.camleaf"), { when: "TM in timed, DM running, CT closed" }, output)).toBe(
    0,
  );
  expect(said[0]).toContain("22.5 A");
  expect(said[0]).toContain("State: TM in timed");
  expect(await drawing(sample("electric-dryer.camleaf"), { when: "DM running, TM in off" }, output)).toBe(1);
  expect(await drawing(sample("electric-dryer.camleaf"), { when: "NOBODY open" }, output)).toBe(2);
  expect(complaints).toHaveLength(2);
});

test("sections go to a file each, named by what they show; one alone is printed", async () => {
  const { output, said, complaints } = listener();
  const out = join(folder, "dryer.svg");
  const file = sample("electric-dryer.camleaf");
  expect(await drawing(file, { sections: true, out }, output)).toBe(0);
  const sheets = readdirSync(folder).filter((name) => name.startsWith("dryer-"));
  expect(sheets.sort()).toEqual(["feed", "heat", "motor", "signals", "timer"].map((key) => `dryer-${key}.svg`));
  expect(readFileSync(join(folder, "dryer-heat.svg"), "utf8")).toContain('data-name="HT"');
  expect(await drawing(file, { section: "Heat", when: "TM in timed, DM running, CT closed" }, output)).toBe(0);
  expect(said[0]).toContain("22.5 A");
  expect(said[0]).not.toContain('data-name="DM.start"');
  expect(await drawing(file, { section: "cellar" }, output)).toBe(2);
  expect(complaints[0]).toContain("3 heat");
});

test("no timer, no chart", async () => {
  const { output, said, complaints } = listener();
  expect(await chart(sample("electric-dryer.camleaf"), undefined, output)).toBe(0);
  expect(said[0]).toContain("cool-down");
  expect(await chart(sample("fan-heater.camleaf"), undefined, output)).toBe(2);
  expect(complaints[0]).toContain("no timer with a chart");
});

test("PNG through a browser of the computer; without one the message says what to do", async () => {
  const { output, complaints } = listener();
  const out = join(folder, "fan.png");
  vi.stubEnv("CAMLEAF_BROWSER", join(folder, "no-browser"));
  expect(await drawing(sample("fan-heater.camleaf"), { out }, output)).toBe(2);
  expect(complaints[0]).toContain("CAMLEAF_BROWSER names none that can be run");
  vi.stubEnv("CAMLEAF_BROWSER", "");
  expect(await findBrowser({ PATH: folder }).catch((error: Error) => error.message)).toMatch(
    /Chromium.*CAMLEAF_BROWSER.*\.svg instead|^\/|^C:/,
  );
  vi.unstubAllEnvs();
});

test.skipIf(!chromiumPath)("a PNG is twice the drawing's size, on white", { timeout: 60_000 }, async () => {
  vi.stubEnv("CAMLEAF_BROWSER", chromiumPath!);
  const { output, complaints } = listener();
  const [svg, png] = [join(folder, "two.svg"), join(folder, "two.png")];
  for (const out of [svg, png]) expect(await drawing(sample("fan-heater.camleaf"), { out }, output)).toBe(0);
  expect(complaints).toEqual([]);
  const bytes = readFileSync(png);
  // The size stands in the first chunk (PNG, ISO/IEC 15948, 11.2.2).
  expect(bytes.subarray(1, 4).toString("latin1")).toBe("PNG");
  const [, width, height] = /width="(\d+)" height="(\d+)"/.exec(readFileSync(svg, "utf8"))!;
  expect([bytes.readUInt32BE(16), bytes.readUInt32BE(20)]).toEqual([2 * Number(width), 2 * Number(height)]);
  vi.unstubAllEnvs();
});
