/** The page of each finding: `# title`, the id, and sections; its examples are executed by tests. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

const root = join(import.meta.dirname, "../..");

/** Folders with a page a file; the pages of the checks stand beside each check. */
const FOLDERS = ["grammar", "server/machine", "server/checks", "server/meter", "server/proposals", "server/workspace"];

export const HEADINGS = [
  "What it says",
  "Why it matters",
  "Example that raises it",
  "Example that does not",
  "What to do",
  "Source",
];

export interface Page {
  readonly id: string;
  readonly title: string;
  readonly text: string;
  readonly sections: ReadonlyMap<string, string>;
}

/** Pages of findings that no check makes: of writing, names, silencers, the bench, proposals, and faults of our own. */
export const otherPages: readonly Page[] = FOLDERS.flatMap((folder) =>
  readdirSync(join(root, folder, "pages")).map((file) =>
    pageAt(file.replace(/\.md$/, ""), join(folder, "pages", file)),
  ),
);

/** Pages of checks, by the folders of the checks. */
export const checkPages: readonly Page[] = readdirSync(join(root, "server/checks"))
  .filter((name) => existsSync(join(root, "server/checks", name, "check.md")))
  .map((name) => pageAt(name, join("server/checks", name, "check.md")));

export const pageIds: ReadonlySet<string> = new Set([...otherPages, ...checkPages].map(({ id }) => id));

function pageAt(id: string, path: string): Page {
  const text = readFileSync(join(root, path), "utf8");
  const sections = new Map(
    text
      .split(/^## /m)
      .slice(1)
      .map((part) => {
        const end = part.indexOf("\n");
        return [part.slice(0, end).trim(), part.slice(end + 1).trim()] as const;
      }),
  );
  return { id, title: /^# (.*)$/m.exec(text)?.[1] ?? "", text, sections };
}

export function exampleIn(page: Page, heading: string): string | undefined {
  return /```camleaf\n([\s\S]*?)```/.exec(page.sections.get(heading) ?? "")?.[1];
}
