/** The sample machines, read from disk. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "../../grammar/parse.ts";
import { resolveMachines } from "../../server/machine/index.ts";

const folder = join(import.meta.dirname, "../../samples");
const names = ["", "ideas"].flatMap((sub) =>
  readdirSync(join(folder, sub))
    .filter((name) => name.endsWith(".camleaf"))
    .map((name) => join(sub, name)),
);
const files = new Map(names.map((name) => [name, parse(readFileSync(join(folder, name), "utf8"))]));

export const samples = names.flatMap((file) => resolveMachines(files, file));
