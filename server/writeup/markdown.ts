/**
 * A page as Markdown (CommonMark, with the tables of GitHub Flavored Markdown). Pictures and photos stand in it as `data:` addresses, so
 * that it is one file: as elements, because readers that take no such address then show the words alone. Text of the machine is escaped
 * and never markup.
 */
import { type Block, escapeHtml, type Item, type Page, type Runs, textAddress } from "./page.ts";

export function markdownOf({ title, opening, sections }: Page): string {
  const blocks = [
    `# ${escaped(title)}`,
    escaped(opening),
    ...sections.flatMap((section) => [`## ${escaped(section.title)}`, ...section.blocks.map(blockMarkdown)]),
  ];
  return `${blocks.join("\n\n")}\n`;
}

function blockMarkdown(block: Block): string {
  switch (block.block) {
    case "heading":
      return `### ${escaped(block.text)}${block.aside === undefined ? "" : ` — ${escaped(block.aside)}`}`;
    case "text":
      return runs(block.text);
    case "list":
      return block.items.map((one) => `- ${item(one, "  ")}`).join("\n");
    case "steps":
      return block.items.map((one, i) => `${i + 1}. ${item(one, "   ")}`).join("\n");
    case "facts":
      return table(
        ["", ""],
        block.facts.map(({ name, text }) => [cell([name]), cell([text])]),
      );
    case "table":
      return table(
        block.heads.length > 0 ? block.heads.map(escaped) : (block.rows[0]?.cells ?? []).map(() => ""),
        block.rows.map(({ cells }) => cells.map(cell)),
      );
    case "picture":
      return image(block.words, svgAddress(block.svg));
    case "text of the file":
      return fenced(block.text, "");
    case "source":
      return `${fenced(block.text, "camleaf")}\n\n<!-- ${textAddress(block.text)} -->`;
  }
}

/** Gravity goes into words: Markdown has no classes. */
const weights: Readonly<Record<string, string>> = { error: "Error: ", warning: "Warning: " };

function item({ text, weight, aside, photo }: Item, indent: string): string {
  const said = `${weights[weight ?? ""] ?? ""}${startless(runs(text))}`;
  const picture = photo ? `\\\n${indent}${image(photo.words, photo.address)}` : "";
  return `${said}${aside === undefined ? "" : ` (${escaped(aside)})`}${picture}`;
}

function image(words: string, address: string): string {
  return `<img alt="${escapeHtml(words.replace(/\s+/g, " "))}" src="${escapeHtml(address)}">`;
}

function table(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [line(heads), line(heads.map(() => "---")), ...rows.map(line)].join("\n");
}

const cell = (text: Runs): string => runs(text);

function runs(text: Runs): string {
  return text
    .map((run) => {
      if (typeof run === "string") return escaped(run);
      if ("strong" in run) return run.strong === "" ? "" : `**${escaped(run.strong)}**`;
      return "code" in run ? code(run.code) : `*${escaped(run.emphasis)}*`;
    })
    .join("")
    .trim();
}

/** A code span holds no escapes; the bar would end a table's cell, and a backtick the span. */
function code(text: string): string {
  return /[`|\\\n]/.test(text) ? escaped(text) : `\`${text}\``;
}

/** The fence is longer than any run of backticks within. */
function fenced(text: string, language: string): string {
  const longest = Math.max(2, ...[...text.matchAll(/`+/g)].map(([run]) => run.length));
  const fence = "`".repeat(longest + 1);
  return `${fence}${language}\n${text.replace(/\n?$/, "\n")}${fence}`;
}

/** Nothing in it is read as markup: ASCII punctuation that means something is escaped, and a line break is a space. */
function escaped(text: string): string {
  return text
    .replace(/\s+/g, " ")
    .replace(/[\\`*_[\]<>&|~#]/g, "\\$&")
    .replaceAll("://", ":\\/\\/")
    .replace(/www\./gi, (found) => `${found.slice(0, 3)}\\.`)
    .replaceAll("@", "\\@");
}

/** What would begin a list, a rule or a heading at the start of a line. */
function startless(text: string): string {
  return text.replace(/^([-+=])/, "\\$1").replace(/^(\d+)([.)])/, "$1\\$2");
}

function svgAddress(svg: string): string {
  const bytes = new TextEncoder().encode(svg);
  let letters = "";
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return `data:image/svg+xml;base64,${btoa(letters)}`;
}
