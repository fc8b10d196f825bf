/** What the views ask over stdio: chosen state, drawing, chart, expectations, write-up. In detail they are tested in tests/editor. */
import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { CodeAction } from "vscode-languageserver-protocol";
import type { ShowState } from "../../server/base/chosen-state.ts";
import type {
  ChartResult,
  ChosenStateResult,
  DrawingResult,
  ExpectationsResult,
  WriteUpResult,
} from "../../server/protocol.ts";
import { buildServer, Session } from "./session.ts";

const uri = "file:///bench/dryer.camleaf";
const dryer = readFileSync(new URL("../../samples/electric-dryer.camleaf", import.meta.url), "utf8");
const text = `${dryer}expect HT off when TM in timed\n`;

let session: Session;
beforeAll(async () => {
  session = await new Session(await buildServer()).start({ initializationOptions: { chosenState: true } });
  await session.put(uri, text);
  await session.diagnostics(uri);
});
afterAll(async () => {
  await session.end();
});

describe("over stdio", () => {
  it("is ready after a moment", { timeout: 60_000 }, async () => {
    // On a busy computer the states take longer than an answer waits for them.
    await expect
      .poll(async () => (await session.request<ChosenStateResult>("camleaf/chosenState", { uri }))?.ready, {
        timeout: 50_000,
      })
      .toBe(true);
  });

  it("moves the machine as wished, and draws it so", async () => {
    const open = await session.request<ChosenStateResult>("camleaf/chosenState", {
      uri,
      wish: { wish: "move", control: "DOOR", position: "open" },
    });
    expect(open).toMatchObject({ ready: true, words: "TM in timed 1, DOOR open" });
    const drawn = await session.request<DrawingResult>("camleaf/drawing", { uri, live: true });
    expect(drawn.live).toBe(true);
    expect(drawn.svg).toMatch(/class="carries"[^>]*data-name="DL"/);
    expect(drawn.svg).not.toMatch(/class="carries"[^>]*data-name="HT"/);
    const heater = drawn.parts.find(({ name }) => name === "HT")!;
    expect(text.split("\n")[heater.range!.start.line]).toMatch(/^heater HT/);
    const { charts } = await session.request<ChartResult>("camleaf/chart", { uri });
    expect(charts[0]!.positions[charts[0]!.at!]).toBe("timed 1");
  });

  it("draws a section alone, and says where each part is drawn", async () => {
    const whole = await session.request<DrawingResult>("camleaf/drawing", { uri, live: false });
    expect(whole).toMatchObject({ big: false });
    expect(whole.section).toBeUndefined();
    const heat = whole.sections.find(({ title }) => title === "Heat")!;
    const drawn = await session.request<DrawingResult>("camleaf/drawing", { uri, live: false, section: heat.number });
    expect(drawn.section).toBe(heat.number);
    expect(drawn.svg).toContain('data-name="HT"');
    expect(drawn.svg).not.toContain('data-name="DL"');
    for (const { name, section } of drawn.parts)
      expect(drawn.svg.includes(`data-name="${name}"`)).toBe(section === heat.number);
  });

  it("draws with the symbols and wire colours of the settings", async () => {
    const svg = async () => (await session.request<DrawingResult>("camleaf/drawing", { uri, live: false })).svg;
    const before = await svg();
    expect(before).toContain('class="casing"');
    await session.connection.sendNotification("workspace/didChangeConfiguration", {
      settings: { camleaf: { drawing: { symbols: "ieee", wireColours: false } } },
    });
    await expect.poll(svg).not.toContain('class="casing"');
    expect(await svg()).toContain(">MOT</text>");
    expect(before).not.toContain(">MOT</text>");
  });

  it("leads from a finding to a state that shows it", async () => {
    const heater = "file:///bench/heater.camleaf";
    const lines = [
      'machine "Bench"',
      "supply 120/240 V 60 Hz breaker 30 A",
      "selector SEL {",
      "  positions off low high",
      "  contact 1 to 2 in high  rated 15 A 125 V",
      "}",
      "heater HT 5400 W 240 V",
      "wire L1 to SEL to HT to L2",
      "",
    ];
    await session.put(heater, lines.join("\n"));
    await session.diagnostics(heater, ({ diagnostics }) =>
      diagnostics.some(({ code }) => code === "contact-over-rating"),
    );
    const actions = await session.request<CodeAction[]>("textDocument/codeAction", {
      textDocument: { uri: heater },
      range: { start: { line: 4, character: 10 }, end: { line: 4, character: 10 } },
      context: { diagnostics: [] },
    });
    const { title, command } = actions.find(({ command }) => command?.command === "camleaf.showState")!;
    expect(title).toBe("Show a state that shows it: SEL in high");
    const [{ machine, names }] = command!.arguments as [ShowState];
    const state = await session.request<ChosenStateResult>("camleaf/chosenState", {
      uri: heater,
      machine,
      wish: { wish: "names", positions: names },
    });
    expect(state!.words).toBe("SEL in high");
  });

  it("lists expectations at once, and judges them when asked", async () => {
    const listed = await session.request<ExpectationsResult>("camleaf/expectations", { uri, judge: false });
    expect(listed.expectations).toHaveLength(9);
    const { expectations } = await session.request<ExpectationsResult>("camleaf/expectations", { uri, judge: true });
    expect(expectations.map(({ judged }) => judged?.proof)).toEqual([...Array(8).fill("holds"), "refuted"]);
    const { range, judged } = expectations.at(-1)!;
    expect(range.start.line).toBe(text.split("\n").length - 2);
    // The state that speaks against it can be wished for.
    const state = await session.request<ChosenStateResult>("camleaf/chosenState", {
      uri,
      wish: { wish: "names", positions: judged!.names },
    });
    expect(state!.words).toBe(judged!.state);
  });

  it("writes the machine up, and answers null about what is not open", async () => {
    const page = await session.request<WriteUpResult>("camleaf/writeUp", { uri });
    expect(page.fileName).toBe("dryer.html");
    expect(page.html).toContain("Larkfield D5 electric dryer");
    expect(page.markdown).toMatch(/^# Larkfield D5 electric dryer\n/);
    for (const method of ["chosenState", "drawing", "chart", "expectations", "writeUp"])
      expect(await session.request(`camleaf/${method}`, { uri: "file:///bench/other.camleaf", live: true })).toBeNull();
  });
});
