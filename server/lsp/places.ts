/** Selection ranges, links to files, and symbols over all open texts. */
import type {
  DocumentLink,
  DocumentLinkParams,
  SelectionRange,
  SelectionRangeParams,
  SymbolInformation,
  WorkspaceSymbolParams,
} from "vscode-languageserver";
import { links } from "../editor/links.ts";
import { selections } from "../editor/selection.ts";
import { type OutlineEntry, outline } from "../editor/symbols.ts";
import type { Snapshot } from "../service.ts";
import { usedAddress } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";
import { symbolKinds } from "./shape.ts";

const mostSymbols = 500;

export function registerPlaces({ connection, service, positions, log }: FeatureContext): void {
  connection.onSelectionRanges(
    guarded<SelectionRangeParams, SelectionRange[] | null>(
      log,
      "selection",
      null,
      ({ textDocument, positions: at }) => {
        const answer = (snapshot: Snapshot) =>
          at.map((position): SelectionRange => {
            const stretches = selections(snapshot, positions.offset(snapshot.text, position));
            let range: SelectionRange | undefined;
            for (const stretch of stretches.reverse())
              range = { range: positions.range(snapshot.text, stretch), ...(range ? { parent: range } : {}) };
            return range ?? { range: { start: position, end: position } };
          });
        return service.atOnce(textDocument.uri, answer) ?? null;
      },
    ),
  );

  connection.onDocumentLinks(
    guarded<DocumentLinkParams, DocumentLink[] | null>(log, "links", null, ({ textDocument: { uri } }) => {
      const answer = (snapshot: Snapshot) =>
        links(snapshot).flatMap((link): DocumentLink[] => {
          const used = usedAddress(snapshot.file, link.path, service.folders);
          return used.ok ? [{ range: positions.range(snapshot.text, link), target: used.address }] : [];
        });
      return service.atOnce(uri, answer) ?? null;
    }),
  );

  connection.onWorkspaceSymbol(
    guarded<WorkspaceSymbolParams, SymbolInformation[] | null>(log, "symbols", null, ({ query }) => {
      const wanted = query.toLowerCase();
      const found: SymbolInformation[] = [];
      const add = ({ text, file }: Snapshot, entry: OutlineEntry, within: string | undefined): void => {
        if (found.length < mostSymbols && fits(`${entry.name} ${entry.detail}`.toLowerCase(), wanted))
          found.push({
            name: entry.name,
            kind: symbolKinds[entry.kind],
            location: { uri: file, range: positions.range(text, { from: entry.nameFrom, to: entry.nameTo }) },
            ...(within === undefined ? {} : { containerName: within }),
          });
      };
      const all = (snapshot: Snapshot, entries: readonly OutlineEntry[], within?: string): void => {
        for (const entry of entries) {
          add(snapshot, entry, within);
          all(snapshot, entry.children, entry.name);
        }
      };
      for (const file of service.workspace.openFiles())
        service.atOnce(file, (snapshot) => all(snapshot, outline(snapshot)));
      return found;
    }),
  );
}

/** The letters asked for, in order, others between them allowed. */
function fits(name: string, wanted: string): boolean {
  let at = 0;
  for (const letter of wanted) {
    if (letter === " ") continue;
    at = name.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
