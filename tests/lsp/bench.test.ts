/** The bench over the protocol: begin a block, take the suggested readings, write them into the text, until the fault is named. */
import { readFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test, vi } from "vitest";
import { typedLines } from "../../server/base/bench.ts";
import { type BenchResult, bench, type ReadingsResult, readings, type TextRange } from "../../server/protocol.ts";
import { NearSession } from "./in-process.ts";

const dryer = readFileSync("samples/electric-dryer.camleaf", "utf8");
const uri = "file:///bench/dryer.camleaf";
let session: NearSession;
beforeAll(async () => {
  session = await new NearSession().start();
});
afterAll(() => session.end());

const ask = (at?: TextRange["start"]) => session.connection.sendRequest<BenchResult | null>(bench, { uri, at });

function put(text: string, { line, character }: TextRange["start"], more: string): string {
  const lines = text.split("\n");
  lines[line] = lines[line]!.slice(0, character) + more + lines[line]!.slice(character);
  return lines.join("\n");
}

test("from an empty bench to the open coil, by the suggested readings alone", async () => {
  let text = dryer;
  let version = 1;
  await session.open(uri, version, text);
  const empty = (await ask())!;
  expect(empty.blocks).toEqual([]);
  expect(empty.start!.text).toMatch(/^\nfindings "what is wrong" \{\n {2}when .*\n\}\n$/);
  text = put(
    text,
    empty.start!.at,
    '\nfindings "cold" {\n  when TM in timed, DOOR shut, DM running\n  seen HT cold\n}\n',
  );
  // What a dryer with an open coil shows, by hand: everything up to the coil is sound.
  const answerTo = (line: string): string => {
    if (/^seen HT/.test(line)) return "cold";
    if (/^seen DL/.test(line)) return "off";
    if (/^seen (L1|N)/.test(line)) return "holds";
    if (/^seen/.test(line)) return "runs";
    // Behind the open coil the speed switch of the standing motor is open too.
    if (/^ohms HT\.1 to HT\.2 |^ohms HT\.2 to (HT\.1|L1|N) /.test(line)) return "OL";
    if (/^ohms/.test(line)) return "0.2";
    return "120";
  };
  let told: BenchResult | null = null;
  for (let reading = 0; reading < 12; reading++) {
    await session.change(uri, ++version, [{ text }]);
    told = await ask();
    expect(told!.blocks).toEqual(["cold"]);
    const { report, inserts } = told!;
    if (report!.decided || !report!.next) break;
    const lines = typedLines(report!.next, answerTo(report!.next.before))!;
    expect(lines).toBeDefined();
    const { at, indent } = inserts![0]!;
    text = put(text, at, lines.map((line) => `\n${indent}${line}`).join(""));
  }
  expect(told!.report!.suspects[0]!.words).toBe("HT (drying coil) is open");
  expect(told!.report!.decided).toBe(true);
  expect(text).toMatch(/ohms HT\.\d to (HT\.\d|L1|N) open unplugged/);
  // Every line that was written is understood: told as agreeing or not, none as wrong.
  const wrong = (await session.findings(uri, version)).filter(({ code }) =>
    /findings-|unexpected|unknown/.test(String(code)),
  );
  expect(wrong).toEqual([]);
});

test("readings between two points that a selection names", async () => {
  const other = "file:///bench/other.camleaf";
  await session.open(other, 1, dryer);
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  // Asked before the numbers are there it answers null after a while, and asks again when they are.
  const answer = await vi.waitUntil(
    () =>
      session.connection.sendRequest<ReadingsResult | null>(readings, { uri: other, range, points: "HT.1 to HT.2" }),
    { timeout: 60_000 },
  );
  expect(answer).toMatchObject({ a: "HT.1", b: "HT.2" });
  expect(answer!.lines[0]!.text).toMatch(/^10\.5 ohm/);
  expect(await session.connection.sendRequest(readings, { uri: other, range, points: "nothing here" })).toBeNull();
});

test("what a person types becomes a line, or is no reading of this kind", () => {
  const ohms = {
    title: "",
    steps: [],
    outcomes: [],
    before: "ohms HT.1 to HT.2 ",
    after: " unplugged lifted HT.1",
    unit: "ohm",
    words: [],
    live: false,
    situation: 0,
  };
  const typed = (text: string, unit = "ohm") =>
    typedLines({ ...ohms, unit }, text)
      ?.at(-1)
      ?.slice("ohms HT.1 to HT.2 ".length)
      .replace(" unplugged lifted HT.1", "");
  expect(["10.6", "10,6 ohm", "OL", "open", "2.2k", "1.1 M", "2 kohm"].map((text) => typed(text))).toEqual([
    "10.6 ohm",
    "10.6 ohm",
    "open",
    "open",
    "2.2 kohm",
    "1.1 Mohm",
    "2 kohm",
  ]);
  expect(["118", "118 V", "90 mV"].map((text) => typed(text, "V"))).toEqual(["118 V", "118 V", "90 mV"]);
  expect(["", "118 A", "open", "abc", "1 2"].map((text) => typed(text, "V"))).toEqual([
    undefined,
    undefined,
    undefined,
    undefined,
    undefined,
  ]);
  expect(typed("stands still", "")).toBe("stands still");
  expect(typedLines({ ...ohms, condition: "when DOOR open" }, "open")).toEqual([
    "when DOOR open",
    "ohms HT.1 to HT.2 open unplugged lifted HT.1",
  ]);
});
