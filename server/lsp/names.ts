/** Definition, references, highlights and renaming. */
import type {
  DocumentHighlight,
  Location,
  ReferenceParams,
  RenameParams,
  TextDocumentPositionParams,
  TextEdit,
  WorkspaceEdit,
} from "vscode-languageserver";
import { DocumentHighlightKind, LSPErrorCodes, ResponseError } from "vscode-languageserver";
import type { Place } from "../base/place.ts";
import { definition, highlights, references } from "../editor/definition.ts";
import { prepareRename, rename } from "../editor/rename.ts";
import type { FileView } from "../editor/view.ts";
import type { Snapshot } from "../service.ts";
import { atPosition, type FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerNames(context: FeatureContext): void {
  const { connection, service, positions, log } = context;
  /** For names that other files may share. */
  const amongFiles = <Params extends TextDocumentPositionParams, Answer>(
    name: string,
    answer: (snapshot: Snapshot, offset: number, others: readonly FileView[], params: Params) => Answer,
  ) =>
    guarded<Params, Answer | null>(log, name, null, async (params) => {
      const { textDocument, position } = params;
      const reply = (snapshot: Snapshot, others: readonly FileView[]) =>
        answer(snapshot, positions.offset(snapshot.text, position), others, params);
      return (await service.withRelatives(textDocument.uri, reply)) ?? null;
    });
  const textOf = (snapshot: Snapshot, { file }: Place) =>
    file === snapshot.file ? snapshot.text : service.textOf(file);
  const location = (snapshot: Snapshot, place: Place): Location[] => {
    const text = textOf(snapshot, place);
    return text === undefined ? [] : [{ uri: place.file, range: positions.range(text, place) }];
  };

  connection.onDefinition(
    atPosition(context, "definition", "names", (snapshot, offset): Location[] =>
      definition(snapshot, offset).flatMap((place) => location(snapshot, place)),
    ),
  );

  connection.onReferences(
    amongFiles("references", (snapshot, offset, others, params: ReferenceParams): Location[] =>
      references(snapshot, offset, others)
        .filter(({ defines }) => params.context.includeDeclaration || !defines)
        .flatMap(({ place }) => location(snapshot, place)),
    ),
  );

  connection.onDocumentHighlight(
    atPosition(context, "highlights", "names", (snapshot, offset): DocumentHighlight[] =>
      highlights(snapshot, offset).map(({ place, defines }) => ({
        range: positions.range(snapshot.text, place),
        kind: defines ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
      })),
    ),
  );

  connection.onPrepareRename(
    amongFiles("prepare rename", (snapshot, offset, others) => {
      const found = prepareRename(snapshot, offset, others);
      if ("refused" in found) throw refusal(found.refused);
      return { range: positions.range(snapshot.text, found.place), placeholder: found.name };
    }),
  );

  connection.onRenameRequest(
    amongFiles("rename", (snapshot, offset, others, params: RenameParams): WorkspaceEdit => {
      const edits = rename(snapshot, offset, params.newName, others);
      if ("refused" in edits) throw refusal(edits.refused);
      const changes: Record<string, TextEdit[]> = {};
      for (const { place, text } of edits) {
        const old = textOf(snapshot, place);
        if (old === undefined) throw refusal(`${place.file} cannot be read now.`);
        const list = (changes[place.file] ??= []);
        list.push({ range: positions.range(old, place), newText: text });
      }
      return { changes };
    }),
  );
}

/** The editor shows the reason to the person. */
function refusal(reason: string): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, reason);
}
