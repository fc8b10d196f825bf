/**
 * What can be done at a place: the changes that findings bring along, what can be written to be rid of them, silencing one with a
 * reason, other ways to write the same, and all safe changes of the file at once.
 */
import type { Finding, Fix } from "../base/finding.ts";
import { breakOf, indentOf, lineStart } from "../base/lines.ts";
import { checks } from "../checks/registry.ts";
import { repairs } from "./repairs.ts";
import { rewrites } from "./rewrites.ts";
import type { FileView } from "./view.ts";

export interface Action {
  readonly title: string;
  /** What it is done about; rewrites and the fix of all are about none. */
  readonly finding?: Finding;
  readonly kind: "fix" | "silence" | "rewrite" | "fix-all";
  /** May be done without reading it first. */
  readonly safe: boolean;
  readonly edits: Fix["edits"];
}

const silenced: ReadonlySet<string> = new Set(checks.map(({ id }) => id));

/** Actions for the stretch, those for findings that touch it first. */
export function actions(view: FileView, from: number, to: number): readonly Action[] {
  const here = view.findings.filter(({ place }) => place.file === view.file && place.from <= to && from <= place.to);
  const found: Action[] = [];
  for (const finding of here)
    for (const fix of [...(finding.fixes ?? []), ...repairs(view, finding)])
      if (!found.some(({ title }) => title === fix.title)) found.push({ ...fix, finding, kind: "fix" });
  const silences = new Set<string>();
  for (const finding of here) {
    const key = `${finding.id} ${lineStart(view.text, finding.place.from)}`;
    if (!silenced.has(finding.id) || silences.has(key)) continue;
    silences.add(key);
    found.push(silence(view, finding));
  }
  for (const fix of rewrites(view, from, to)) found.push({ ...fix, kind: "rewrite" });
  return found;
}

/** All safe changes of the file as one; undefined when there is none. Where two would touch, the first one counts. */
export function fixAll(view: FileView): Action | undefined {
  const edits: Fix["edits"][number][] = [];
  for (const { fixes } of view.findings) {
    const fix = fixes?.find(({ safe }) => safe);
    if (!fix || fix.edits.some(({ place }) => place.file !== view.file)) continue;
    const touches = fix.edits.some(({ place: a }) =>
      edits.some(({ place: b }) => a.from <= b.to && b.from <= a.to && !(a.from === b.to && a.from !== a.to)),
    );
    if (!touches) edits.push(...fix.edits);
  }
  if (edits.length === 0) return undefined;
  return { title: "Mend all that can only be meant one way", kind: "fix-all", safe: true, edits };
}

/** The reason is left to be written: until it is, the comment does not silence, and a finding says so. */
function silence({ text, file }: FileView, finding: Finding): Action {
  const line = lineStart(text, finding.place.from);
  return {
    title: `Silence ${finding.id} here, with a reason`,
    finding,
    kind: "silence",
    safe: false,
    edits: [
      {
        place: { file, from: line, to: line },
        text: `${indentOf(text, line)}# silence ${finding.id}: ${breakOf(text)}`,
      },
    ],
  };
}
