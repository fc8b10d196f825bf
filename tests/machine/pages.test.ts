/** The pages of findings about names and values are true, and every one that can be raised has a page. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { machinesOf } from "../checks/analysed.ts";

const room = new URL("../../server/machine/", import.meta.url);
const pages = new URL("pages/", room);
const ids = readdirSync(pages).map((name) => name.replace(/\.md$/, ""));

/** Files beside the examples that `use` lines name. */
const beside = { "parts.camleaf": 'use "bench.camleaf"\n', "plain.camleaf": "" };

describe.each(ids)("%s", (id) => {
  const page = readFileSync(new URL(`${id}.md`, pages), "utf8");
  const told = (heading: string) => {
    const text = new RegExp(`## ${heading}\n\n\`\`\`camleaf\n([\\s\\S]*?)\`\`\``).exec(page)![1]!;
    return machinesOf(text, beside).flatMap(({ findings }) => findings);
  };
  it("is raised by its bad example, with advice, and by nothing in the good one", () => {
    const findings = told("Example that raises it");
    expect(findings.map((finding) => finding.id)).toContain(id);
    for (const { advice } of findings) expect(advice).not.toBe("");
    const good = told("Example that does not").filter((f) => f.id === id || f.gravity === "error");
    expect(good.map(({ what }) => what)).toEqual([]);
  });
});

it("every finding that this room can make has a page", () => {
  const raised = new Set<string>();
  for (const name of readdirSync(room).filter((file) => file.endsWith(".ts"))) {
    const text = readFileSync(new URL(name, room), "utf8");
    for (const [, id] of text.matchAll(/(?:\bid: |\.find\(\s*)"([a-z-]+)"/g)) raised.add(id!);
    for (const [, one, other] of text.matchAll(/\.find\([^"]*\? "([a-z-]+)" : "([a-z-]+)"/g))
      raised.add(one!).add(other!);
  }
  expect([...raised].sort()).toEqual([...ids].sort());
});
