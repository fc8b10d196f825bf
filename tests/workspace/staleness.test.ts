import { describe, expect, it } from "vitest";
import { setUp } from "./test-platform.ts";

const file = "file:///w/a.camleaf";

describe("what is sent, and when", () => {
  it("names first, every state right behind", async () => {
    const { workspace, platform, told, done } = setUp();
    workspace.put(file, 1, "NAME DEEP SLOW");
    await platform.step();
    expect(told(file)).toEqual(["1: name"]);
    expect(done).toEqual([]);
    await platform.rest();
    expect(told(file)).toEqual(["1: name", "1: name deep"]);
    expect(done).toMatchObject([{ file, version: 1, complete: true, missing: [] }]);
  });

  it("adds what the checks of changed machines find, when the main findings stand already", async () => {
    const { workspace, platform, told, done } = setUp();
    workspace.put(file, 1, "NAME DEEP LATER");
    await platform.rest();
    expect(told(file)).toEqual(["1: name", "1: name deep", "1: name deep later"]);
    expect(done.length).toBe(1);
    workspace.put(file, 2, " NAME DEEP LATER");
    await platform.rest();
    expect(told(file).slice(3)).toEqual(["2: name deep later"]); // at once: nothing blinks
  });

  it("sends the empty list of a file without findings, once", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "");
    await platform.rest();
    workspace.put(file, 2, "\n");
    await platform.rest();
    expect(told(file)).toEqual(["1:"]);
  });

  it("sends an empty list when findings are gone, and when the file is closed", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "DEEP");
    await platform.rest();
    workspace.put(file, 2, "fine");
    await platform.rest();
    workspace.put(file, 3, "DEEP");
    await platform.rest();
    workspace.close(file);
    await platform.wait(10_000);
    expect(told(file).slice(-4)).toEqual(["1: deep", "2:", "3: deep", "closed:"]);
  });

  it("never sends findings of a text that was changed during the analysis", async () => {
    const { workspace, platform, told, pipeline } = setUp();
    workspace.put(file, 1, "SLOW DEEP");
    for (let i = 0; i < 10; i++) await platform.step();
    workspace.put(file, 2, "NAME");
    await platform.rest();
    expect(told(file)).toEqual(["1:", "2: name"]);
    expect(pipeline.ended).toBe(1); // ended between two jobs, not run to its end
  });

  it("does not come back to life after a close during the analysis", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "SLOW DEEP");
    for (let i = 0; i < 10; i++) await platform.step();
    workspace.close(file);
    await platform.wait(10_000);
    expect(told(file)).toEqual(["1:", "closed:"]);
    workspace.put(file, 1, "DEEP"); // version numbers start again
    await platform.rest();
    expect(told(file).at(-1)).toBe("1: deep");
  });

  it("parses once for a burst of changes", async () => {
    const { workspace, platform, pipeline, told } = setUp();
    for (let version = 1; version <= 50; version++) workspace.put(file, version, `NAME ${version}`);
    await platform.rest();
    expect(pipeline.parsed).toBe(1);
    expect(told(file)).toEqual(["50: name"]);
  });

  it("sends a list again after an edit even with equal offsets: the editor has moved its squiggles", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "DEEP x");
    await platform.rest();
    workspace.put(file, 2, "DEEP y");
    await platform.rest();
    expect(told(file).slice(-2)).toEqual(["1: deep", "2: deep"]);
  });

  it("does not send an equal list twice for one text", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "NAME");
    await platform.rest();
    workspace.gravity = { other: "off" };
    await platform.rest();
    expect(told(file)).toEqual(["1: name"]);
  });

  it("keeps squiggles standing while a quick analysis runs, and clears them when it takes long", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(file, 1, "DEEP");
    await platform.rest();
    workspace.put(file, 2, " DEEP");
    await platform.rest();
    expect(told(file).slice(-2)).toEqual(["1: deep", "2: deep"]); // not "2:" between the two
    workspace.put(file, 3, "NAME DEEP SLOW");
    for (let i = 0; i < 5; i++) await platform.step();
    expect(told(file).at(-1)).toBe("2: deep");
    await platform.wait(200);
    expect(told(file).slice(-2)).toEqual(["3: name", "3: name deep"]);
  });

  it("puts the document that is being typed in before the others", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put("file:///w/big.camleaf", 1, "SLOW DEEP");
    for (let i = 0; i < 5; i++) await platform.step();
    workspace.put(file, 1, "DEEP");
    for (let i = 0; i < 5; i++) await platform.step();
    expect(told(file)).toContain("1: deep");
    expect(told("file:///w/big.camleaf")).toEqual(["1:"]);
    await platform.rest();
    expect(told("file:///w/big.camleaf")).toEqual(["1:", "1: deep"]);
  });

  it("lets the reader choose how grave a finding is", async () => {
    const { workspace, platform, told, sent } = setUp();
    workspace.put(file, 1, "NAME DEEP");
    await platform.rest();
    workspace.gravity = { name: "off", deep: "error" };
    expect(told(file).at(-1)).toBe("1: deep");
    expect(sent.at(-1)?.findings[0]?.gravity).toBe("error");
  });
});

describe("answers", () => {
  it("speak of the newest text, even right behind a change", () => {
    const { workspace } = setUp();
    workspace.put(file, 1, "one");
    workspace.put(file, 2, "two");
    expect(workspace.snapshot(file)).toMatchObject({ version: 2, text: "two", phase: "names" });
    expect(workspace.snapshot("file:///w/other.camleaf")).toBeUndefined();
  });

  it("that need numbers wait for the analysis, for as long as they said", async () => {
    const { workspace, platform } = setUp();
    workspace.put(file, 1, "SLOW DEEP");
    const patient = workspace.reached("states", file);
    const hasty = workspace.reached("states", file, 50);
    await platform.step();
    await platform.wait(60);
    expect((await hasty)?.phase).toBe("names");
    await platform.rest();
    expect((await patient)?.phase).toBe("states");
  });

  it("end when the document is closed", async () => {
    const { workspace, platform } = setUp();
    workspace.put(file, 1, "SLOW");
    const waiting = workspace.reached("states", file);
    await platform.step();
    workspace.close(file);
    expect(await waiting).toBeUndefined();
  });

  it("that wait get the newer text when the document is changed meanwhile", async () => {
    const { workspace, platform } = setUp();
    workspace.put(file, 1, "SLOW");
    const waiting = workspace.reached("states", file);
    await platform.step();
    workspace.put(file, 2, "DEEP");
    await platform.rest();
    expect((await waiting)?.version).toBe(2);
  });
});

describe("a fault of our own", () => {
  it.each(["PARSE", "NAME", "DEEP", "LATER"])("in %s is said openly and takes nothing else down", async (step) => {
    const { workspace, platform, told, done } = setUp();
    workspace.put(file, 1, `BREAK-${step}`);
    workspace.put("file:///w/b.camleaf", 1, "DEEP");
    await platform.rest();
    expect(told(file).at(-1)).toContain("analysis-stopped");
    expect(done.find((d) => d.file === file)?.complete).toBe(false);
    expect(told("file:///w/b.camleaf").at(-1)).toBe("1: deep");
    expect(platform.lines.join()).toContain("broke");
    workspace.put(file, 2, "mended DEEP");
    await platform.rest();
    expect(told(file).at(-1)).toBe("2: deep");
  });
});
