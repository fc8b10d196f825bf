/** Asks where to put a file that was made from a machine's text, and writes it there. */
import * as vscode from "vscode";

/** What can be written, by the ending of the name that the person gives; the first is proposed. */
export interface Form {
  /** `html` */
  readonly ending: string;
  /** `HTML page` */
  readonly name: string;
  /** What takes a moment is made once it is asked for; undefined when it cannot be. */
  readonly content: string | (() => Promise<Uint8Array | undefined>);
}

/** `suffix`: `-chart` beside `dryer.camleaf` proposes `dryer-chart.svg`. The written file's address, undefined when called off. */
export async function saveFile(
  source: vscode.Uri,
  suffix: string,
  forms: readonly [Form, ...Form[]],
): Promise<vscode.Uri | undefined> {
  const bare = source.path.slice(source.path.lastIndexOf("/") + 1).replace(/\.camleaf$/, "") || "machine";
  const folder =
    source.scheme === "untitled" ? vscode.workspace.workspaceFolders?.[0]?.uri : vscode.Uri.joinPath(source, "..");
  const target = await vscode.window.showSaveDialog({
    ...(folder ? { defaultUri: vscode.Uri.joinPath(folder, `${bare}${suffix}.${forms[0].ending}`) } : {}),
    filters: Object.fromEntries(forms.map(({ name, ending }) => [name, [ending]])),
    title: "Where to put it",
  });
  if (!target) return undefined;
  const { content } = forms.find(({ ending }) => target.path.toLowerCase().endsWith(`.${ending}`)) ?? forms[0];
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : await content();
  if (!bytes) return undefined;
  await vscode.workspace.fs.writeFile(target, bytes);
  return target;
}
