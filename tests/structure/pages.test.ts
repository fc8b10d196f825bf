/** Every finding anywhere has a page, and the pages are true: the bad example raises it, the good one does not. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { type Finding, findingText } from "../../server/base/finding.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { checks } from "../../server/checks/registry.ts";
import type { Source } from "../../server/workspace/pipeline.ts";
import { standardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { exampleIn, HEADINGS, otherPages, pageIds } from "../support/pages.ts";

const root = join(import.meta.dirname, "../..");

/** Files beside the examples that `use` lines name. */
const beside: Readonly<Record<string, string>> = { "parts.camleaf": 'use "bench.camleaf"\n', "plain.camleaf": "" };

/** No text brings these about: they tell of a fault in Camleaf itself. */
const OWN_FAULTS = ["analysis-stopped", "check-failed"];

function findings(text: string): readonly Finding[] {
  const source: Source = {
    file: "bench.camleaf",
    tree: parse(text),
    used: (_, path) => {
      const other = path === "bench.camleaf" ? text : beside[path];
      return other === undefined ? { missing: "not-found" } : { file: path, tree: parse(other) };
    },
  };
  const named = standardPipeline.name(source);
  const analysed = toEnd(standardPipeline.analyse(source, named));
  const later = toEnd(standardPipeline.later(source, analysed));
  return [...named.findings, ...analysed.findings, ...later.findings];
}

describe.each(otherPages.map((page) => [page.id, page] as const))("%s", (id, page) => {
  it("has a title, its id and all headings", () => {
    expect(page.text.startsWith(`# ${page.title}\n\n\`${id}\`\n`)).toBe(true);
    expect([...page.sections.keys()]).toEqual(HEADINGS);
    for (const section of page.sections.values()) expect(section).not.toBe("");
  });

  it.skipIf(OWN_FAULTS.includes(id))("is raised by its bad example, with advice", () => {
    const found = findings(exampleIn(page, "Example that raises it")!);
    expect(found.map((finding) => finding.id)).toContain(id);
    for (const finding of found) {
      expect(finding.advice, finding.what).not.toBe("");
      expect(findingText(finding)).not.toMatch(/undefined|NaN/);
    }
  });

  it("is not raised by its good one", () => {
    const found = findings(exampleIn(page, "Example that does not")!);
    const wrong = found.filter((f) => f.id === id || (f.gravity === "error" && !id.startsWith("proposal-")));
    expect(wrong.map(findingText)).toEqual([]);
  });
});

/** Every id that stands in the code as the id of a finding. */
function idsInCode(): Map<string, string> {
  const found = new Map<string, string>();
  for (const folder of ["grammar", "server"])
    for (const path of readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })) {
      if (!path.endsWith(".ts")) continue;
      const text = readFileSync(join(root, folder, path), "utf8");
      const patterns = [
        /\bid: "([a-z]+(?:-[a-z]+)+|unfinished)"/g,
        /\bid: \w+ \? "([a-z]+(?:-[a-z]+)+)" : "([a-z]+(?:-[a-z]+)+)"/g,
        /(?:\.find|\.tell|\.problem)\([^"`;]*?"([a-z]+(?:-[a-z]+)+|unfinished)",/g,
        /\.find\([^"]*\? "([a-z-]+)" : "([a-z-]+)"/g,
      ];
      for (const pattern of patterns)
        for (const [, ...ids] of text.matchAll(pattern))
          for (const id of ids) if (id) found.set(id, `${folder}/${path}`);
    }
  return found;
}

it("every finding that the code can make has a page, and every page a finding", () => {
  const inCode = idsInCode();
  for (const { id } of checks) inCode.set(id, "the registry");
  expect([...inCode].filter(([id]) => !pageIds.has(id))).toEqual([]);
  expect([...pageIds].filter((id) => !inCode.has(id))).toEqual([]);
});

it("no finding is without advice", () => {
  const without = [...new Set(idsInCode().values())].filter((path) =>
    /\badvice: ""/.test(readFileSync(join(root, path), "utf8")),
  );
  expect(without).toEqual([]);
});
