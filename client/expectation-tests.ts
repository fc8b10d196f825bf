/** `expect` lines in the editor's Test Explorer: run, shown with a state that speaks against them, run again on save. */
import * as vscode from "vscode";
import { type ExpectationsParams, type ExpectationsResult, expectations } from "../server/protocol.ts";
import type { Keeper } from "./keeper.ts";

type Expected = ExpectationsResult["expectations"][number];

/** Where a failed test leads: the state that speaks against it. */
interface Against {
  readonly uri: vscode.Uri;
  readonly machine: number;
  readonly names: Readonly<Record<string, string>>;
}

const mostFiles = 500;

export class ExpectationTests implements vscode.Disposable {
  readonly #tests = vscode.tests.createTestController("camleaf.expectations", "Camleaf expectations");
  readonly #against = new WeakMap<vscode.TestItem, Against>();
  /** Files whose expectations were run: saving one runs it again. */
  readonly #ran = new Set<string>();
  /** Runs that go on: each analysed text among theirs is run again. */
  readonly #going = new Set<vscode.TestRunRequest>();
  readonly #all: vscode.Disposable[];

  constructor(private readonly keeper: Keeper) {
    const profile = this.#tests.createRunProfile(
      "Prove",
      vscode.TestRunProfileKind.Run,
      (request, token) => this.#asked(request, token),
      true,
      undefined,
      true,
    );
    this.#tests.resolveHandler = (item) => (item ? this.#list(item) : this.#findFiles());
    this.#tests.refreshHandler = () => this.#findFiles();
    this.#all = [
      this.#tests,
      profile,
      vscode.commands.registerCommand("camleaf.showAgainst", (at?: { test?: vscode.TestItem }) => this.#show(at?.test)),
      keeper.onDidChange(({ uri, why }) => {
        if (why === "analysed") void this.#analysed(vscode.Uri.parse(uri));
      }),
      vscode.workspace.onDidSaveTextDocument(({ uri }) => {
        const file = this.#tests.items.get(uri.toString());
        if (file && this.#ran.has(file.id)) void this.#run(new vscode.TestRunRequest([file]));
      }),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => {
        if (uri.scheme === "untitled") this.#tests.items.delete(uri.toString());
      }),
      vscode.workspace.onDidDeleteFiles(({ files }) => {
        for (const uri of files) this.#tests.items.delete(uri.toString());
      }),
    ];
  }

  dispose(): void {
    for (const one of this.#all) one.dispose();
  }

  /** Files of the folders; what is in them is read when somebody looks or runs. */
  async #findFiles(): Promise<void> {
    const found = await vscode.workspace.findFiles("**/*.camleaf", "**/node_modules/**", mostFiles);
    for (const uri of found) this.#file(uri);
    const open = vscode.workspace.textDocuments.filter(({ languageId }) => languageId === "camleaf");
    await Promise.all(open.map(({ uri }) => this.#list(this.#file(uri))));
  }

  #file(uri: vscode.Uri): vscode.TestItem {
    const known = this.#tests.items.get(uri.toString());
    if (known) return known;
    const name = vscode.workspace.asRelativePath(uri);
    const item = this.#tests.createTestItem(uri.toString(), name, uri);
    item.canResolveChildren = true;
    this.#tests.items.add(item);
    return item;
  }

  async #analysed(uri: vscode.Uri): Promise<void> {
    const open = vscode.workspace.textDocuments.some((document) => document.uri.toString() === uri.toString());
    if (!open) return;
    const file = this.#file(uri);
    await this.#list(file);
    for (const request of this.#going) {
      const items = request.include?.filter((item) => fileOf(item) === file);
      if (items === undefined || items.length > 0)
        await this.#run(new vscode.TestRunRequest(items ?? [file], request.exclude, request.profile));
    }
  }

  async #ask(file: vscode.TestItem, judge: boolean): Promise<ExpectationsResult | undefined> {
    if (!file.uri) return undefined;
    // The server knows only what is open in the editor.
    await vscode.workspace.openTextDocument(file.uri);
    const params: ExpectationsParams = { uri: file.uri.toString(), judge };
    return (await this.keeper.ask<ExpectationsResult | null>(expectations, params)) ?? undefined;
  }

  /** The items of a file, in text order; machines between only where there are several. */
  async #list(item: vscode.TestItem): Promise<void> {
    const file = fileOf(item);
    try {
      const found = await this.#ask(file, false);
      file.error = undefined;
      if (found) this.#fill(file, found);
      // A text that expects nothing is no test; it comes back when it does.
      if (file.children.size === 0) this.#tests.items.delete(file.id);
    } catch (error) {
      file.error = `cannot be read: ${error instanceof Error ? error.message : String(error)}`;
    }
  }

  #fill(file: vscode.TestItem, { machines, expectations: all }: ExpectationsResult): Map<string, Expected> {
    const byId = new Map<string, Expected>();
    const itemOf = (one: Expected, order: number) => {
      const id = `${file.id} ${one.machine} ${one.id}`;
      byId.set(id, one);
      const item = find(file, id) ?? this.#tests.createTestItem(id, one.words, file.uri);
      item.range = rangeOf(one.range);
      item.sortText = String(order).padStart(6, "0");
      return item;
    };
    const items = all.map(itemOf);
    if (machines.length < 2) file.children.replace(items);
    else
      file.children.replace(
        machines.flatMap((label, index) => {
          const id = `${file.id} ${index}`;
          const own = items.filter((_, i) => all[i]?.machine === index);
          if (own.length === 0) return [];
          const item = file.children.get(id) ?? this.#tests.createTestItem(id, label, file.uri);
          item.label = label;
          item.sortText = String(index).padStart(6, "0");
          item.children.replace(own);
          return [item];
        }),
      );
    return byId;
  }

  async #asked(request: vscode.TestRunRequest, token: vscode.CancellationToken): Promise<void> {
    if (request.continuous) {
      this.#going.add(request);
      token.onCancellationRequested(() => this.#going.delete(request));
      return;
    }
    await this.#run(request, token);
  }

  async #run(request: vscode.TestRunRequest, token?: vscode.CancellationToken): Promise<void> {
    const run = this.#tests.createTestRun(request);
    try {
      const files = new Set((request.include ?? each(this.#tests.items)).map(fileOf));
      for (const file of files) {
        if (token?.isCancellationRequested) break;
        await this.#runFile(run, file, request);
      }
    } finally {
      run.end();
    }
  }

  async #runFile(run: vscode.TestRun, file: vscode.TestItem, request: vscode.TestRunRequest): Promise<void> {
    const wanted = (item: vscode.TestItem): boolean =>
      lineOf(item).some((one) => request.include?.includes(one) ?? true) &&
      !lineOf(item).some((one) => request.exclude?.includes(one));
    this.#ran.add(file.id);
    await this.#list(file);
    for (const item of leaves(file)) if (wanted(item)) run.started(item);
    const began = Date.now();
    const found = await this.#ask(file, true).catch(() => undefined);
    const byId = found ? this.#fill(file, found) : new Map<string, Expected>();
    for (const item of leaves(file)) {
      if (!wanted(item)) continue;
      const one = byId.get(item.id);
      if (one?.judged) this.#tell(run, item, one, Date.now() - began);
      else run.skipped(item);
    }
  }

  #tell(run: vscode.TestRun, item: vscode.TestItem, { judged, machine }: Expected, milliseconds: number): void {
    if (!judged || !item.uri) return;
    const { proof, words, state, steps, names } = judged;
    if (proof === "holds") {
      run.passed(item, milliseconds);
      return;
    }
    const lines = [
      words,
      ...(state === undefined ? [] : [`A state that shows it: ${state}.`]),
      ...(steps === undefined || steps.length === 0 ? [] : [`How to get there: ${steps.join("; ")}.`]),
    ];
    run.appendOutput(`${item.label}\r\n  ${lines.join("\r\n  ")}\r\n`, undefined, item);
    if (proof === "not-covered") {
      run.skipped(item);
      return;
    }
    const message = new vscode.TestMessage(lines.join("\n"));
    if (item.range) message.location = new vscode.Location(item.uri, item.range);
    if (names) {
      message.contextValue = "camleaf.against";
      this.#against.set(item, { uri: item.uri, machine, names });
    }
    if (proof === "refuted" || proof === "empty") run.failed(item, message, milliseconds);
    else run.errored(item, message, milliseconds);
  }

  /** The state that speaks against it becomes the chosen one, and the drawing shows it. */
  async #show(item: vscode.TestItem | undefined): Promise<void> {
    const against = item && this.#against.get(item);
    if (!against) return;
    const { uri, machine, names } = against;
    await vscode.window.showTextDocument(uri, item.range ? { selection: item.range } : {});
    await this.keeper.state(uri, machine, { wish: "names", positions: names });
    await vscode.commands.executeCommand("camleaf.openDrawing");
  }
}

function each(items: vscode.TestItemCollection): vscode.TestItem[] {
  return [...items].map(([, item]) => item);
}

/** The item and all above it. */
function lineOf(item: vscode.TestItem): vscode.TestItem[] {
  return [item, ...(item.parent ? lineOf(item.parent) : [])];
}

function fileOf(item: vscode.TestItem): vscode.TestItem {
  return item.parent ? fileOf(item.parent) : item;
}

function leaves(file: vscode.TestItem): vscode.TestItem[] {
  return each(file.children).flatMap((item) => (item.children.size > 0 ? leaves(item) : [item]));
}

function find(file: vscode.TestItem, id: string): vscode.TestItem | undefined {
  return leaves(file).find((item) => item.id === id);
}

function rangeOf({ start, end }: Expected["range"]): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
