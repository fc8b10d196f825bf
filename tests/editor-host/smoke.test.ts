/**
 * The extension in a real VS Code workbench: once with the server in a process (packed .vsix), once in a worker. Needs Chromium
 * and the two editors that `npm run editors` fetches; skipped out loud where they are missing, a failure under CI=true.
 */
import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Packed, packExtension } from "../support/pack-extension.ts";
import { chromiumPath, startChromium } from "./chromium.ts";
import { type Host, type HostName, hostInstalled, root, startServerHost, startWebHost } from "./hosts.ts";
import { Workbench } from "./workbench.ts";

const missing = [
  chromiumPath ? [] : ["Chromium (Debian: apt-get install chromium, or set CHROMIUM_PATH)"],
  (["web", "server"] as const).every(hostInstalled) ? [] : ["the editors (npm run editors)"],
].flat();
const skip = missing.length > 0 && process.env.CI !== "true";
if (skip) console.warn(`\nSKIPPED: the real editors, for want of ${missing.join(" and ")}.\n`);

const faulty = "faulty.camleaf";
const faultyLine = 4;
const faultyText = `machine "Bench heater"
supply 120/240 V 60 Hz breaker 30 A
heater HT "coil" 5400 W 240 V
wire L1 to HTX to L2
`;
const dryer = readFileSync(join(root, "samples/electric-dryer.camleaf"), "utf8");
const lineOf = (text: string) => dryer.slice(0, dryer.indexOf(text)).split("\n").length;

describe.skipIf(skip)("in a real VS Code", () => {
  let browser: BrowserContext;
  let packed: Packed;

  beforeAll(async () => {
    if (missing.length > 0) throw new Error(`missing: ${missing.join(", ")}`);
    packed = packExtension("hosted");
    mkdirSync(join(root, "tests/output"), { recursive: true });
    browser = await startChromium();
  });
  afterAll(async () => browser?.close());

  describe.each<{ host: HostName; title: string }>([
    { host: "server", title: "with the server in a process" },
    { host: "web", title: "with the server in a worker" },
  ])("$title", ({ host: name }) => {
    let host: Host;
    let workbench: Workbench;
    beforeAll(async () => {
      const folder = mkdtempSync(join(tmpdir(), "camleaf-folder-"));
      cpSync(join(root, "samples/electric-dryer.camleaf"), join(folder, "dryer.camleaf"));
      writeFileSync(join(folder, faulty), faultyText);
      host = name === "web" ? await startWebHost(packed.folder, folder) : await startServerHost(packed.vsix, folder);
      workbench = await Workbench.open(browser, host.address);
    });
    afterAll(async () => {
      await workbench?.screenshot(join(root, `tests/output/${name}.png`));
      await host?.stop();
    });

    it("shows a squiggle under what is wrong, and lists it in Problems", async () => {
      await workbench.openFile(faulty);
      await workbench.squiggles("error").first().waitFor();
      const problems = await workbench.problems();
      await problems.filter({ hasText: "HTX" }).first().waitFor();
      await workbench.screenshot(join(root, `tests/output/${name}-problems.png`));
    });

    it("takes the squiggle away when the text is mended", async () => {
      const unknown = (await workbench.problems()).filter({ hasText: "HTX" });
      await unknown.first().waitFor();
      await workbench.replaceLine(faultyLine, "wire L1 to HT to L2");
      await unknown.first().waitFor({ state: "detached" });
      // What is left is about electricity: the coil has no protector.
      const problems = await workbench.problems();
      await problems.filter({ hasText: "load-without-protector" }).first().waitFor();
      await workbench.screenshot(join(root, `tests/output/${name}-mended.png`));
    });

    it.runIf(name === "server")("comes back after its server was killed, with the document as it is", async () => {
      expect(host.killLanguageServer?.()).toBe(true);
      await workbench.replaceLine(faultyLine, "wire L1 to HTY to L2");
      const problems = await workbench.problems();
      await problems.filter({ hasText: "HTY" }).first().waitFor();
    });

    it("restarts on request, and stays quiet about it", async () => {
      await workbench.openFile(faulty);
      await workbench.replaceLine(faultyLine, "wire L1 to HTZ to L2");
      await workbench.squiggles("error").first().waitFor();
      await workbench.command("Camleaf: Restart the Language Server");
      await workbench.replaceLine(faultyLine, "wire L1 to HTQ to L2");
      const problems = await workbench.problems();
      await problems.filter({ hasText: "HTQ" }).first().waitFor();
      expect(await workbench.page.locator(".notification-toast").count()).toBe(0);
    });

    it("opens a sample in one click from the command palette", async () => {
      await workbench.command("Camleaf: Open a Sample Machine");
      await workbench.page.locator(".quick-input-list .monaco-list-row", { hasText: "Gas burner" }).click();
      await workbench.page.locator(".tab.active", { hasText: /Untitled/ }).waitFor();
      await workbench.page.locator(".view-line", { hasText: "Larkfield" }).first().waitFor();
    });

    it("reads the amps of the heater in a hover", async () => {
      await workbench.openFile("dryer.camleaf");
      await workbench.goToLine(lineOf("heater HT"));
      const text = await workbench.hover("HT");
      await workbench.screenshot(join(root, `tests/output/${name}-hover.png`));
      expect(text).toMatch(/22\.5\s*A/); // 5400 W / 240 V
    });

    it("draws the circuit live beside the text, steps the program by key, and goes from a part to its line", async () => {
      await workbench.openFile("dryer.camleaf");
      await workbench.command("Camleaf: Show the Circuit Drawing");
      const drawing = await workbench.view("drawing");
      // The coil heats in the first state shown: 5400 W / 240 V.
      const coil = drawing.locator('[data-name="HT"]');
      await drawing.locator('[data-name="HT"].carries').waitFor();
      await drawing.locator("text.amount", { hasText: "22.5 A" }).first().waitFor();
      await workbench.screenshot(join(root, `tests/output/${name}-drawing.png`));
      // Stepped back past the start of the timed run the timer is off, and so is the coil.
      await drawing.locator(".frame").focus();
      await workbench.page.keyboard.press("ArrowLeft");
      await drawing.locator('[data-name="HT"].carries').waitFor({ state: "detached" });
      expect(await drawing.locator(".words").textContent()).not.toContain("running");
      await workbench.page.keyboard.press("d");
      await drawing.locator('[data-name="HT"].carries').waitFor();
      await coil.click();
      await expect.poll(() => workbench.caretLine()).toBe(lineOf("heater HT"));
      await drawing.locator('[data-name="HT"].selected').waitFor();
      await workbench.screenshot(join(root, `tests/output/${name}-drawing-selected.png`));
    });

    it("moves the machine by its own controls", async () => {
      await workbench.command("Camleaf: Show the Machine's Controls");
      const controls = await workbench.view("controls");
      await controls.locator('select[data-control="DOOR"]').selectOption("open");
      await controls.locator(".words", { hasText: "DOOR open" }).waitFor();
      const drawing = await workbench.view("drawing");
      await drawing.locator('[data-name="DL"].carries').waitFor(); // the drum lamp
      await workbench.screenshot(join(root, `tests/output/${name}-controls.png`));
    });

    it("shows the timer chart, and turns the timer by a click on a column", async () => {
      await workbench.openFile("dryer.camleaf");
      await workbench.command("Camleaf: Show the Timer Chart");
      const chart = await workbench.view("chart");
      await chart.locator('[data-step="16"]').click();
      await chart.locator(".words", { hasText: "TM in auto 1" }).waitFor();
      await chart.locator('[data-step="16"].chosen').waitFor();
      await workbench.screenshot(join(root, `tests/output/${name}-chart.png`));
    });
  });
});
