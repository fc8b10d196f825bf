/** Every constant with a source is named in a test of its table. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";

const root = join(import.meta.dirname, "../..");

it.each(["checks", "machine", "meter"])("server/%s/tables", (room) => {
  const tables = join(root, "server", room, "tables");
  const constants = readdirSync(tables).flatMap((file) =>
    [...readFileSync(join(tables, file), "utf8").matchAll(/export const (\w+): Sourced/g)].map(([, name]) => name!),
  );
  const tests = readFileSync(join(root, "tests", room, "tables.test.ts"), "utf8");
  expect(constants.length).toBeGreaterThan(0);
  expect(constants.filter((name) => !new RegExp(`\\b${name}\\b`).test(tests))).toEqual([]);
});
