import type { ServerCapabilities } from "vscode-languageserver";
import { PositionEncodingKind, TextDocumentSyncKind } from "vscode-languageserver";

/** What the server offers; only what really answers stands here. */
export function capabilities(): ServerCapabilities {
  return {
    positionEncoding: PositionEncodingKind.UTF16,
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
    hoverProvider: true,
    inlayHintProvider: true,
    workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
  };
}
