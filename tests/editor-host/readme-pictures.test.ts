/** The pictures of the README, from the real editor: `CAMLEAF_WRITE=1 npx vitest run tests/editor-host/readme-pictures.test.ts`. */
import { cpSync, mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, it } from "vitest";
import { packExtension } from "../support/pack-extension.ts";
import { startChromium } from "./chromium.ts";
import { type Host, root, startServerHost } from "./hosts.ts";
import { Workbench } from "./workbench.ts";

const file = "larkfield-d5.camleaf";

describe.runIf(process.env.CAMLEAF_WRITE === "1")("the README", () => {
  let browser: BrowserContext;
  let host: Host;
  let workbench: Workbench;
  const picture = (name: string) => workbench.screenshot(join(root, `client/pictures/${name}.png`));
  beforeAll(async () => {
    const folder = join(mkdtempSync(join(tmpdir(), "camleaf-readme-")), "bench");
    mkdirSync(join(folder, ".vscode"), { recursive: true });
    const settings = { "editor.minimap.enabled": false, "camleaf.codeLens": false, "editor.lightbulb.enabled": "off" };
    writeFileSync(join(folder, ".vscode/settings.json"), JSON.stringify(settings));
    cpSync(join(root, "samples/electric-dryer.camleaf"), join(folder, file));
    host = await startServerHost(packExtension("readme").vsix, folder);
    browser = await startChromium();
    workbench = await Workbench.open(browser, host.address);
    await workbench.page.setViewportSize({ width: 1500, height: 860 });
  });
  afterAll(async () => {
    await browser?.close();
    await host?.stop();
  });

  it("shows text, drawing and controls", async () => {
    await workbench.openFile(file);
    await workbench.command("Camleaf: Show the Circuit Drawing");
    await workbench.command("Camleaf: Show the Machine's Controls");
    const drawing = await workbench.view("drawing");
    await drawing.locator('[data-name="HT"].carries').click();
    const controls = await workbench.view("controls");
    await controls.locator("meter").first().waitFor();
    await workbench.page.mouse.move(1300, 620);
    await workbench.page.waitForTimeout(800);
    await picture("drawing");
  });

  it("shows the timer chart", async () => {
    await workbench.command("Camleaf: Show the Timer Chart");
    const chart = await workbench.view("chart");
    await chart.locator('[data-step="3"]').click();
    await chart.locator('[data-step="3"].chosen').waitFor();
    await workbench.page.mouse.move(1300, 620);
    await workbench.page.waitForTimeout(800);
    await picture("chart");
  });
});
