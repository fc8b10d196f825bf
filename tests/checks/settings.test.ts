/** The settings of the editor list every finding with its line: made from the pages. CAMLEAF_WRITE=1 writes them anew. */
import { readFileSync, writeFileSync } from "node:fs";
import { expect, it } from "vitest";
import { checks } from "../../server/checks/registry.ts";
import { otherPages } from "../support/pages.ts";

const manifest = new URL("../../package.json", import.meta.url);
const GRAVITIES = ["error", "warning", "information", "hint", "off"];

function properties(): Record<string, unknown> {
  const lines = [
    ...checks.map(({ id, title, gravity }) => [id, `${title} (${gravity}).`]),
    ...otherPages.map(({ id, title }) => [id, `${title}.`]),
  ];
  return Object.fromEntries(
    lines
      .sort(([a], [b]) => (a! < b! ? -1 : 1))
      .map(([id, description]) => [id, { type: "string", enum: GRAVITIES, description }]),
  );
}

it("package.json lists every finding", () => {
  const parsed = JSON.parse(readFileSync(manifest, "utf8"));
  const setting = parsed.contributes.configuration.properties["camleaf.findings"];
  if (process.env.CAMLEAF_WRITE) {
    setting.properties = properties();
    writeFileSync(manifest, `${JSON.stringify(parsed, undefined, 2)}\n`);
  }
  expect(setting.properties).toEqual(properties());
});
