/** SVG to PNG through a browser that is on the computer already: the command line brings none along. */
import { execFile } from "node:child_process";
import { constants } from "node:fs";
import { access, copyFile, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { delimiter, isAbsolute, join } from "node:path";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";

/** Why there is no PNG, and what to do, in plain words. */
export class CannotRasterise extends Error {}

const names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge"];
const places = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];

/** The variable names one; else the first Chromium or kin in the path or where systems put it. */
export async function findBrowser(env: Readonly<Record<string, string | undefined>>): Promise<string> {
  const asked = env.CAMLEAF_BROWSER;
  const inPath = (name: string) =>
    (env.PATH ?? "").split(delimiter).flatMap((folder) => (isAbsolute(folder) ? [join(folder, name)] : []));
  const candidates = asked ? (isAbsolute(asked) ? [asked] : inPath(asked)) : [...names.flatMap(inPath), ...places];
  for (const candidate of candidates) {
    const runs = await access(candidate, constants.X_OK).then(
      () => true,
      () => false,
    );
    if (runs) return candidate;
  }
  throw new CannotRasterise(
    asked
      ? `PNG needs a browser, and CAMLEAF_BROWSER names none that can be run: ${asked}`
      : "PNG needs Chromium or a browser of its kind, and none was found: name yours in CAMLEAF_BROWSER, or write .svg instead",
  );
}

/** Twice the size in px, dark on white. */
const scale = 2;
const longestMs = 60_000;

/** Writes the picture to `file`. @throws {CannotRasterise} */
export async function writePng(svg: string, file: string, env = process.env): Promise<void> {
  const browser = await findBrowser(env);
  const folder = await mkdtemp(join(tmpdir(), "camleaf-png-"));
  try {
    const [, width = "0", height = "0"] = /^<svg[^>]* width="([\d.]+)" height="([\d.]+)"/.exec(svg) ?? [];
    const page = join(folder, "picture.html");
    const shot = join(folder, "picture.png");
    // Nothing but the picture may be loaded, whatever it says.
    const policy = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`;
    const style = "<style>:root{color-scheme:light;background:#fff}body{margin:0}svg{display:block}</style>";
    await writeFile(page, `<!doctype html><meta charset="utf-8">${policy}${style}${svg}`);
    const options = [
      "--headless",
      "--disable-gpu",
      "--hide-scrollbars",
      "--no-first-run",
      `--user-data-dir=${join(folder, "profile")}`,
      `--force-device-scale-factor=${scale}`,
      `--window-size=${Math.ceil(Number(width))},${Math.ceil(Number(height))}`,
      `--screenshot=${shot}`,
      // A browser's sandbox does not start for the system's own user; what it shows is ours and loads nothing.
      ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
      pathToFileURL(page).href,
    ];
    await promisify(execFile)(browser, options, { timeout: longestMs }).catch((error: Error) => {
      throw new CannotRasterise(`${browser} could not make the PNG (${error.message.split("\n")[0]})`);
    });
    await copyFile(shot, file).catch((error: Error) => {
      throw new CannotRasterise(`${file}: cannot be written (${error.message})`);
    });
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}
