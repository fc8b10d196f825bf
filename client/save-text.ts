/** Asks where to put a file that was made from a machine's text, and writes it there. */
import * as vscode from "vscode";

/** `ending`: `.html` beside `dryer.camleaf` proposes `dryer.html`. The written file's address, undefined when called off. */
export async function saveText(source: vscode.Uri, ending: string, text: string): Promise<vscode.Uri | undefined> {
  const bare = source.path.slice(source.path.lastIndexOf("/") + 1).replace(/\.camleaf$/, "") || "machine";
  const folder =
    source.scheme === "untitled" ? vscode.workspace.workspaceFolders?.[0]?.uri : vscode.Uri.joinPath(source, "..");
  const target = await vscode.window.showSaveDialog({
    ...(folder ? { defaultUri: vscode.Uri.joinPath(folder, `${bare}${ending}`) } : {}),
    title: "Where to put it",
  });
  if (!target) return undefined;
  await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(text));
  return target;
}
