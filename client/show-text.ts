/** Brings a place of a text onto the screen, in the column where the text stands already. */
import * as vscode from "vscode";
import type { TextRange } from "../server/protocol.ts";
import { editorOf } from "./keeper.ts";

export async function showText(uri: vscode.Uri, { start, end }: TextRange): Promise<void> {
  const selection = new vscode.Range(start.line, start.character, end.line, end.character);
  const viewColumn = editorOf(uri)?.viewColumn ?? vscode.ViewColumn.One;
  await vscode.window.showTextDocument(uri, { selection, viewColumn });
}
