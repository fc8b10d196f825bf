/** The write-up as Markdown: read by a CommonMark parser from outside the project (markdown-it), with GFM tables. */

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { paintFor } from "../../server/cli/paint.ts";
import { textOf } from "../../server/cli/text-of-command.ts";
import { writeUp } from "../../server/editor/write-up.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";
import { viewOf } from "../editor/support.ts";

interface Token {
  readonly type: string;
  readonly tag: string;
  readonly content: string;
  readonly children: readonly Token[] | null;
  readonly attrs: readonly (readonly [string, string])[] | null;
}
type Parser = new (options: { html: boolean; linkify: boolean }) => { parse(text: string, env: object): Token[] };
const MarkdownIt = createRequire(import.meta.url)("markdown-it") as Parser;

/** All tokens in order, inner ones too. Raw HTML and bare addresses count as such. */
function tokens(markdown: string): Token[] {
  const flat = (list: readonly Token[]): Token[] => list.flatMap((token) => [token, ...flat(token.children ?? [])]);
  return flat(new MarkdownIt({ html: true, linkify: true }).parse(markdown, {}));
}
const plain = (all: readonly Token[]) =>
  all
    .filter(({ type }) => type === "text" || type === "code_inline")
    .map(({ content }) => content)
    .join(" ");

const hostile = `
  machine "Larkfield <script>alert(1)</script> & *Söhne* | [x](http://example.invalid)"
  supply 120/240 V 60 Hz breaker 30 A
  limit HL opens 121 C closes 93 C senses HT rated 30 A 240 V
  heater HT "# coil | \`x\` ![i](http://example.invalid/i.png)" 5400 W 240 V
  wire L1 to HL to HT to L2 RD 10 AWG
  note HT "1. www.example.invalid - new coil <img src=x> \`\`\`"
  note "- a rule? --- someone@example.invalid"
`;

describe("a write-up in Markdown", () => {
  const { view } = viewOf(hostile, [], true);
  const markdown = writeUp(view, view.machines[0]!, "bench.camleaf", new Map(), { format: "markdown" });
  const all = tokens(markdown);

  it("takes no markup from the text: no HTML, no links, no pictures but its own", () => {
    const own = /^<(img alt="[^"<>]*" src="data:image\/[a-z+]+;base64,[\w+/=]+"|!-- data:text\/plain[^<> ]+ --)>\n?$/;
    for (const { content } of all.filter(({ type }) => type.startsWith("html"))) expect(content).toMatch(own);
    const addresses = all.flatMap(({ attrs }) => (attrs ?? []).filter(([name]) => name === "href" || name === "src"));
    for (const [, address] of addresses) expect(address).toMatch(/^data:/);
    expect(all.filter(({ type }) => type === "em_open")).toEqual([]);
    expect(plain(all)).toContain("<script>alert(1)</script> & *Söhne* | [x](http://example.invalid)");
    expect(plain(all)).toContain("1. www.example.invalid - new coil <img src=x> ```");
  });

  it("has the sections, tables and numbers of the page: 5400 W at 240 V are 22.5 A (watts / volts)", () => {
    const html = writeUp(view, view.machines[0]!, "bench.camleaf");
    const titles = [...html.matchAll(/<h2>(.*)<\/h2>/g)].map(([, title]) => title);
    const heads = all.flatMap((token, i) =>
      token.type === "heading_open" && token.tag === "h2" ? [all[i + 1]!.content] : [],
    );
    expect(heads).toEqual(titles);
    const cells = all.flatMap((token, i) => (token.type === "td_open" ? [all[i + 1]!.content] : []));
    expect(cells[cells.indexOf("amps") + 1]).toBe("22.5 A");
  });

  it("gives the text back as it was, whatever stands in it", async () => {
    const folder = mkdtempSync(join(tmpdir(), "camleaf-markdown-"));
    writeFileSync(join(folder, "page.md"), markdown);
    const output = { line: () => {}, complaint: () => {}, paint: paintFor(false, {}) };
    expect(await textOf(join(folder, "page.md"), join(folder, "back.camleaf"), output)).toBe(0);
    expect(readFileSync(join(folder, "back.camleaf"), "utf8")).toBe(view.text);
    rmSync(folder, { recursive: true });
  });

  it("is the same, byte for byte, each time", () => {
    const again = viewOf(hostile, [], true).view;
    expect(writeUp(again, again.machines[0]!, "bench.camleaf", new Map(), { format: "markdown" })).toBe(markdown);
  });
});

it("says of a whole machine all that the page says", async () => {
  const file = "dryer.camleaf";
  const source = readFileSync(join(import.meta.dirname, "../../samples/electric-dryer.camleaf"), "utf8");
  const service = new Service(nodePlatform);
  service.put(file, 1, source);
  const snapshot = (await service.analysed(file))!;
  const page = (format: "html" | "markdown") => writeUp(snapshot, snapshot.machines[0]!, file, new Map(), { format });
  const words = (text: string) => text.replace(/\s+/g, " ").trim();
  const unescaped = (html: string) =>
    html.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&quot;", '"').replaceAll("&amp;", "&");
  const told = words(plain(tokens(page("markdown"))));
  const body = page("html").replace(/<figure>[\s\S]*?<\/figure>/g, "");
  const cells = [...body.matchAll(/<(?:td|th scope="row"|strong|h3|p)>([^<]+)</g)].map(([, text]) =>
    words(unescaped(text!)),
  );
  expect(cells.length).toBeGreaterThan(200);
  const squeezed = told.replaceAll(" ", "");
  for (const cell of cells) expect(squeezed).toContain(cell.replaceAll(" ", ""));
});
