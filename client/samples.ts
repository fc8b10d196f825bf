import * as vscode from "vscode";

/** Samples that stand on their own (no `use`), so that a copy works without a folder. The packed extension holds these files. */
const samples = [
  { label: "Gas burner", file: "gas-burner" },
  { label: "Electric dryer", file: "electric-dryer" },
  { label: "Fan heater, 230 V", file: "fan-heater" },
];

/** `camleaf.openSample`: a copy of a sample machine in a new editor, free to change. */
export function registerSamples(context: vscode.ExtensionContext): vscode.Disposable {
  return vscode.commands.registerCommand("camleaf.openSample", async (name?: unknown) => {
    const asked = samples.find((sample) => sample.file === name);
    const chosen = asked ?? (await vscode.window.showQuickPick(samples, { placeHolder: "Machine to open" }));
    if (!chosen) return;
    const address = vscode.Uri.joinPath(context.extensionUri, "samples", `${chosen.file}.camleaf`);
    const content = new TextDecoder().decode(await vscode.workspace.fs.readFile(address));
    const document = await vscode.workspace.openTextDocument({ language: "camleaf", content });
    await vscode.window.showTextDocument(document);
  });
}
