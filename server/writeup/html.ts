/** A page as one self-contained HTML file: nothing is fetched, no script runs, text is never markup. */
import { type Block, escapeHtml, type Item, type Page, type Runs, textAddress } from "./page.ts";
import { style } from "./style.ts";

export function htmlOf({ title, opening, sections }: Page): string {
  return [
    "<!doctype html>",
    '<html lang="en">',
    "<head>",
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escapeHtml(title)}</title>`,
    `<style>${style}</style>`,
    "</head>",
    "<body>",
    `<h1>${escapeHtml(title)}</h1>`,
    `<p>${escapeHtml(opening)}</p>`,
    ...sections.map(
      (section) =>
        `<section>\n<h2>${escapeHtml(section.title)}</h2>\n${section.blocks.map(blockHtml).join("\n")}\n</section>`,
    ),
    "</body>",
    "</html>",
    "",
  ].join("\n");
}

function blockHtml(block: Block): string {
  switch (block.block) {
    case "heading":
      return `<h3>${escapeHtml(block.text)}${block.aside === undefined ? "" : ` <small>${escapeHtml(block.aside)}</small>`}</h3>`;
    case "text":
      return `<p>${runs(block.text)}</p>`;
    case "list":
      return `<ul>\n${block.items.map(item).join("\n")}\n</ul>`;
    case "steps":
      return `<ol>\n${block.items.map(item).join("\n")}\n</ol>`;
    case "facts":
      return `<table>${block.facts.map(({ name, text }) => `<tr><th scope="row">${escapeHtml(name)}</th><td>${escapeHtml(text)}</td></tr>`).join("")}</table>`;
    case "table": {
      const heads = block.heads.map((head) => `<th scope="col">${escapeHtml(head)}</th>`).join("");
      const rows = block.rows.map(({ cells, weight }) => {
        const inside = cells.map((cell) => `<td>${runs(cell)}</td>`).join("");
        return `<tr${classOf(weight)}>${inside}</tr>`;
      });
      return `<table>${heads === "" ? "" : `<thead><tr>${heads}</tr></thead>`}<tbody>${rows.join("\n")}</tbody></table>`;
    }
    case "picture":
      return `<figure>${block.svg.replace(/^<\?xml[^>]*\?>\s*/, "")}</figure>`;
    case "text of the file":
      return `<pre>${escapeHtml(block.text)}</pre>`;
    case "source":
      return `<p><a download="${escapeHtml(block.fileName)}" href="${textAddress(block.text)}">Save the text as ${escapeHtml(block.fileName)}</a></p>\n<pre>${escapeHtml(block.text)}</pre>`;
  }
}

function item({ text, weight, aside, photo }: Item): string {
  const picture = photo ? `<br><img src="${escapeHtml(photo.address)}" alt="${escapeHtml(photo.words)}">` : "";
  return `<li${classOf(weight)}>${runs(text)}${aside === undefined ? "" : ` <small>${escapeHtml(aside)}</small>`}${picture}</li>`;
}

function classOf(weight: string | undefined): string {
  return weight === undefined ? "" : ` class="${escapeHtml(weight)}"`;
}

function runs(text: Runs): string {
  return text
    .map((run) => {
      if (typeof run === "string") return escapeHtml(run);
      if ("strong" in run) return `<strong>${escapeHtml(run.strong)}</strong>`;
      return "code" in run ? `<code>${escapeHtml(run.code)}</code>` : `<em>${escapeHtml(run.emphasis)}</em>`;
    })
    .join("");
}
