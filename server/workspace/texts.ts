import type { Tree } from "../../grammar/tree.ts";
import { addressKey } from "./address.ts";
import type { Platform } from "./platform.ts";

/** A text in the editor. */
export interface OpenText {
  readonly address: string;
  readonly version: number;
  readonly text: string;
}

type Stored =
  | { readonly state: "here"; readonly address: string; readonly text: string }
  | { readonly state: "absent" }
  | { readonly state: "coming"; readonly arrival: Promise<void> };

/** Longest wait for a file before it counts as missing; should it come later, all that use it are analysed again. */
const patience = 5000;

/** All texts: those open in the editor, which count first, and files read because a `use` names them. */
export class Texts {
  readonly #platform: Platform;
  readonly #parse: (text: string) => Tree;
  readonly #arrived: (key: string) => void;
  readonly #open = new Map<string, OpenText>();
  readonly #files = new Map<string, Stored>();
  readonly #trees = new Map<string, { readonly text: string; readonly tree: Tree }>();

  constructor(platform: Platform, parse: (text: string) => Tree, arrived: (key: string) => void) {
    this.#platform = platform;
    this.#parse = parse;
    this.#arrived = arrived;
  }

  open(text: OpenText): void {
    const key = addressKey(text.address);
    this.#open.set(key, text);
    this.#files.delete(key);
  }

  close(key: string): void {
    this.#open.delete(key);
    this.#trees.delete(key);
  }

  opened(key: string): OpenText | undefined {
    return this.#open.get(key);
  }

  allOpen(): readonly OpenText[] {
    return [...this.#open.values()];
  }

  /** The file changed outside the editor: read it again when it is next asked for. */
  forget(key: string): void {
    this.#files.delete(key);
    if (!this.#open.has(key)) this.#trees.delete(key);
  }

  /** The text if it is here; otherwise `coming` and reading starts, or `absent`. */
  look(address: string): { readonly address: string; readonly tree: Tree } | "coming" | "absent" {
    const key = addressKey(address);
    const open = this.#open.get(key);
    if (open) return { address: open.address, tree: this.#treeOf(key, open.text) };
    const stored = this.#files.get(key) ?? this.#read(key, address);
    if (stored.state === "here") return { address: stored.address, tree: this.#treeOf(key, stored.text) };
    return stored.state;
  }

  /** Waits until the text is here or known to be absent. */
  async arrive(address: string): Promise<void> {
    if (this.look(address) !== "coming") return;
    const stored = this.#files.get(addressKey(address));
    if (stored?.state === "coming") await stored.arrival;
  }

  textOf(address: string): string | undefined {
    const key = addressKey(address);
    const stored = this.#files.get(key);
    return this.#open.get(key)?.text ?? (stored?.state === "here" ? stored.text : undefined);
  }

  #treeOf(key: string, text: string): Tree {
    const known = this.#trees.get(key);
    if (known?.text === text) return known.tree;
    const tree = this.#parse(text);
    this.#trees.set(key, { text, tree });
    return tree;
  }

  #read(key: string, address: string): Stored {
    let waiting = true;
    const settle = (stored: Stored, mine: Stored) => {
      // Forgotten or read anew in the meantime: this answer is about an older file.
      if (this.#files.get(key) !== mine) return;
      this.#files.set(key, stored);
      this.#arrived(key);
    };
    const coming: Stored = {
      state: "coming",
      arrival: Promise.resolve()
        .then(() => this.#platform.readFile(address))
        .catch((error: unknown) => {
          this.#platform.log(`cannot read ${address}: ${String(error)}`);
          return undefined;
        })
        .then((text) => {
          stopWaiting();
          const mine = waiting ? coming : late;
          settle(text === undefined ? { state: "absent" } : { state: "here", address, text }, mine);
        }),
    };
    const late: Stored = { state: "absent" };
    const stopWaiting = this.#platform.after(patience, () => {
      waiting = false;
      settle(late, coming);
    });
    this.#files.set(key, coming);
    return coming;
  }
}
