import { existsSync, mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type BrowserContext, chromium } from "playwright-core";

/** The system's own Chromium; none is downloaded. */
export const chromiumPath = [process.env.CHROMIUM_PATH, "/usr/bin/chromium", "/usr/bin/chromium-browser"].find(
  (path) => path !== undefined && path !== "" && existsSync(path),
);

export async function startChromium(): Promise<BrowserContext> {
  const profile = mkdtempSync(join(tmpdir(), "camleaf-chromium-"));
  mkdirSync(join(profile, "Default"));
  // Webviews come from another origin and stay blank while its cookies are blocked.
  const preferences = { profile: { block_third_party_cookies: false, cookie_controls_mode: 0 } };
  writeFileSync(join(profile, "Default/Preferences"), JSON.stringify(preferences));
  return chromium.launchPersistentContext(profile, {
    executablePath: chromiumPath,
    headless: true,
    viewport: { width: 1280, height: 800 },
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}
