/**
 * Neovim and Emacs, headless, with their own LSP clients over the server's stdio. In CI a missing editor is a failure (.ci/run
 * installs them); elsewhere it is told and passed over.
 */
import { execFile, spawnSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { buildServer } from "../lsp/session.ts";

interface Told {
  readonly filetype: string;
  readonly attached: boolean;
  readonly diagnostics: readonly { readonly line: number; readonly message: string }[];
  readonly hover: string;
  readonly offers_completion: boolean;
  readonly completion: readonly string[];
  readonly renamed: string;
  readonly cleared: boolean;
}

const text = `# 😀 bench
supply single 120 V 60 Hz
switch SW 1 to 2 closed in on, open in off rated 5 A 125 V
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
heater HT "coil" 1200 W 120 V
wire L to SW to HL to HT to N
expect HT off when SW off
`;

const editors = [
  {
    name: "Neovim",
    command: "nvim",
    there: ["--version"],
    args: ["--clean", "--headless", "-c", `luafile ${join(import.meta.dirname, "neovim.lua")}`],
  },
  {
    name: "Emacs",
    command: "emacs",
    there: ["--batch", "--eval", "(require 'eglot)"],
    args: ["--batch", "--no-init-file", "--load", join(import.meta.dirname, "emacs.el")],
  },
];

let server: string;
beforeAll(async () => {
  server = await buildServer();
});

describe.each(editors)("$name", ({ name, command, there, args }) => {
  const found = spawnSync(command, there, { stdio: "ignore" }).status === 0;
  if (!found && !process.env.CI) {
    console.warn(`${name} is not here (or has no LSP client): what the README says about it is NOT tested.`);
    it.skip("is not installed", () => {});
    return;
  }

  it("attaches, shows findings, hovers, completes and renames", async () => {
    const file = join(mkdtempSync(join(tmpdir(), "camleaf-editor-")), "bench.camleaf");
    writeFileSync(file, text);
    const told = await run(command, args, { CAMLEAF_SERVER: server, CAMLEAF_FILE: file, CAMLEAF_WORD: "HT" });
    expect(told.attached).toBe(true);
    expect(told.filetype).toMatch(/^camleaf/);
    // 1200 W at 120 V are 10 A through a contact stamped 5 A.
    const found = told.diagnostics.find(({ line }) => line === 2);
    expect(found?.message).toMatch(/SW.*10 A/);
    expect(told.hover).toMatch(/10 A/);
    if (told.offers_completion) expect(told.completion).toContain("HT");
    expect(told.renamed.trimEnd()).toBe(text.replaceAll("HT", "COIL").trimEnd());
    expect(told.cleared).toBe(true);
  }, 120_000);
});

function run(command: string, args: readonly string[], more: Record<string, string>): Promise<Told> {
  return new Promise((tell, fail) => {
    execFile(command, args, { env: { ...process.env, ...more }, timeout: 110_000 }, (error, stdout, stderr) => {
      const line = /^CAMLEAF (.*)$/m.exec(stdout);
      if (line) tell(JSON.parse(line[1]!) as Told);
      else fail(new Error(`${command} told nothing: ${error?.message ?? ""}\n${stdout}\n${stderr}`));
    });
  });
}
