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
  });
});
