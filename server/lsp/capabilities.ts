import type { ServerCapabilities } from "vscode-languageserver";
import { PositionEncodingKind, TextDocumentSyncKind } from "vscode-languageserver";
import { tokenModifiers, tokenTypes } from "../editor/semantic-tokens.ts";
import { actionKinds } from "./actions.ts";

/** What the server offers; only what really answers stands here. */
export function capabilities(): ServerCapabilities {
  return {
    positionEncoding: PositionEncodingKind.UTF16,
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
    hoverProvider: true,
    completionProvider: { triggerCharacters: [".", " ", '"'] },
    signatureHelpProvider: { triggerCharacters: [" "], retriggerCharacters: [" "] },
    semanticTokensProvider: {
      legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...tokenModifiers] },
      full: { delta: true },
      range: true,
    },
    colorProvider: true,
    selectionRangeProvider: true,
    documentLinkProvider: {},
    workspaceSymbolProvider: true,
    definitionProvider: true,
    referencesProvider: true,
    documentHighlightProvider: true,
    renameProvider: { prepareProvider: true },
    documentSymbolProvider: true,
    foldingRangeProvider: true,
    codeActionProvider: { codeActionKinds: [...new Set(Object.values(actionKinds))] },
    inlayHintProvider: true,
    codeLensProvider: { resolveProvider: true },
    callHierarchyProvider: true,
    documentFormattingProvider: true,
    documentRangeFormattingProvider: true,
    documentOnTypeFormattingProvider: { firstTriggerCharacter: "}", moreTriggerCharacter: ["\n"] },
    workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
  };
}
