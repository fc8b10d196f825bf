/** `use` and `type`: which descriptions a file may draw on. */
import { statementsOf } from "../../grammar/statement-list.ts";
import type { Tree, TypeStatement, UseStatement } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";

export interface KnownType {
  readonly statement: TypeStatement;
  readonly file: string;
}

export interface Library {
  readonly types: ReadonlyMap<string, KnownType>;
  /** Findings about the `use` lines and types of the main file. */
  readonly findings: readonly Finding[];
  /** Resolved file of each `use` statement of the main file. */
  readonly files: ReadonlyMap<UseStatement, string>;
}

/** Paths as written in the `use` statements of a file, in order. */
export function usedPaths(tree: Tree): string[] {
  return useStatements(tree).flatMap((statement) => (statement.path?.text ? [statement.path.text] : []));
}

function useStatements(tree: Tree): UseStatement[] {
  return statementsOf(tree, "use");
}

/**
 * The file that a relative path means, seen from `file` (a URI or a path, `/` or `\` between folders). Undefined for
 * absolute paths, other schemes, and paths that climb out of the root.
 */
export function resolveUsePath(file: string, path: string): string | undefined {
  const written = path.replaceAll("\\", "/");
  if (written === "" || written.startsWith("/") || /^[A-Za-z][A-Za-z0-9+.-]*:/.test(written)) return undefined;
  const scheme = /^[A-Za-z][A-Za-z0-9+.-]+:\/\/[^/]*\//.exec(file)?.[0] ?? (file.startsWith("/") ? "/" : "");
  const folders = file.slice(scheme.length).replaceAll("\\", "/").split("/").slice(0, -1);
  for (const step of written.split("/")) {
    if (step === "" || step === ".") continue;
    if (step !== "..") folders.push(scheme.includes("://") ? encodeURIComponent(decoded(step)) : step);
    else if (folders.length > 0) folders.pop();
    else return undefined;
  }
  return scheme + folders.join("/");
}

function decoded(step: string): string {
  try {
    return decodeURIComponent(step);
  } catch {
    return step;
  }
}

/** The key under which a file is held: as resolved, or with another spelling of escaped letters. */
function held(files: ReadonlyMap<string, Tree>, file: string): string | undefined {
  if (files.has(file)) return file;
  const plain = decoded(file);
  for (const key of files.keys()) if (decoded(key) === plain) return key;
  return undefined;
}

/** Tells which file a path means, seen from another; the workspace may know better than the text of the address does. */
export type Locate = (from: string, path: string) => string | undefined;

export function collectTypes(files: ReadonlyMap<string, Tree>, main: string, locate?: Locate): Library {
  const types = new Map<string, KnownType>();
  const findings: Finding[] = [];
  const used = new Map<UseStatement, string>();
  const done = new Set<string>();
  const visit = (file: string, chain: readonly string[]) => {
    if (done.has(file)) return;
    done.add(file);
    const tree = files.get(file);
    if (!tree) return;
    for (const statement of statementsOf(tree, "type")) {
      if (statement.name) addType(types, findings, statement, file, main);
    }
    for (const statement of useStatements(tree)) {
      const path = statement.path?.text;
      if (path === undefined || path === "") continue;
      const target = locate?.(file, path) ?? resolveUsePath(file, path);
      const key = target === undefined ? undefined : held(files, target);
      const place = { file, from: statement.path!.from, to: statement.path!.to };
      if (file === main && key !== undefined) used.set(statement, key);
      if (target === undefined) {
        if (file === main) {
          findings.push({
            id: "use-outside",
            gravity: "error",
            place,
            what: `${path} is not a relative path inside the workspace.`,
            advice: "Copy the file beside this one and name it by its relative path.",
            related: [],
          });
        }
      } else if (key === undefined) {
        if (file === main) {
          findings.push({
            id: "use-missing",
            gravity: "error",
            place,
            what: `There is no file ${path} here, or it cannot be read.`,
            why: "Types that it describes are not known.",
            advice: "Check the name and the folder; the path counts from this file.",
            related: [],
          });
        }
      } else if (chain.includes(key)) {
        findings.push({
          id: "use-cycle",
          gravity: "error",
          place,
          what: key === main ? `${path} uses this file in turn.` : `The files used here use one another in a circle.`,
          why: "A file cannot be read before itself.",
          advice: "Move the types that both need into a third file.",
          related: [],
        });
      } else visit(key, [...chain, key]);
    }
  };
  visit(main, [main]);
  return {
    types,
    findings: findings.map((finding) => atUseLine(finding, files, main, used)),
    files: used,
  };
}

/** A finding in another file is shown at the `use` line of this one that leads there, the other place beside it. */
function atUseLine(
  finding: Finding,
  files: ReadonlyMap<string, Tree>,
  main: string,
  used: ReadonlyMap<UseStatement, string>,
): Finding {
  if (finding.place.file === main) return finding;
  const tree = files.get(main);
  const first = tree && useStatements(tree).find((statement) => used.has(statement));
  if (!first?.path) return finding;
  return {
    ...finding,
    place: { file: main, from: first.path.from, to: first.path.to },
    related: [...finding.related, { place: finding.place, text: "here" }],
  };
}

function addType(
  types: Map<string, KnownType>,
  findings: Finding[],
  statement: TypeStatement,
  file: string,
  main: string,
): void {
  const name = statement.name!;
  const known = types.get(name.text);
  if (!known) {
    types.set(name.text, { statement, file });
    return;
  }
  if (file !== main && known.file !== main) return;
  // The file's own type stands before one of the same name in a file it uses; two in one file are an error.
  if (known.file !== file) return;
  findings.push({
    id: "duplicate-name",
    gravity: "error",
    place: { file, from: name.from, to: name.to },
    what: `Two types are called ${name.text}.`,
    advice: "Give one of them another name.",
    related: [
      {
        place: { file: known.file, from: known.statement.name!.from, to: known.statement.name!.to },
        text: "the first one",
      },
    ],
  });
}
