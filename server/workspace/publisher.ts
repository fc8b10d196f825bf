import type { Finding, Gravity } from "../base/finding.ts";
import { addressKey } from "./address.ts";
import type { Platform } from "./platform.ts";
import { isAtLeast, type Phase, type Snapshot } from "./snapshot.ts";

/** Findings of one version of one document, to be shown in place of all earlier ones. */
export interface Publication {
  readonly file: string;
  /** Left out when the document was closed. */
  readonly version?: number;
  readonly text: string;
  readonly findings: readonly Finding[];
}

/** The reader's choice per finding id. */
export type GravitySettings = Readonly<Record<string, Gravity | "off">>;

interface Shown {
  readonly text: string;
  readonly version: number;
  readonly findings: readonly Finding[];
  readonly deepest: Phase;
}

/** How long in milliseconds an earlier phase waits for a later one whose findings stand on the screen already. */
const grace = 120;

/**
 * Decides what is sent and when. Nothing for an older text than the one sent last; an equal list is not sent twice; an empty list
 * is always sent. Editors move their squiggles along with typing, so a list that is not empty is sent again once
 * the text has changed, even when its offsets are equal: the editor's own idea of the places may have drifted.
 */
export class Publisher {
  readonly #platform: Platform;
  readonly #send: (publication: Publication) => void;
  readonly #shown = new Map<string, Shown>();
  readonly #waiting = new Map<string, () => void>();
  #settings: GravitySettings = {};

  constructor(platform: Platform, send: (publication: Publication) => void) {
    this.#platform = platform;
    this.#send = send;
  }

  set settings(settings: GravitySettings) {
    this.#settings = settings;
  }

  /** A snapshot is ready. Those of earlier phases may wait a moment, so that squiggles do not blink while typing. */
  ready(snapshot: Snapshot): void {
    const key = addressKey(snapshot.file);
    this.callOff(key);
    const shown = this.#shown.get(key);
    const wait = shown !== undefined && !isAtLeast(snapshot.phase, shown.deepest);
    if (!wait) this.#publish(key, snapshot);
    else
      this.#waiting.set(
        key,
        this.#platform.after(grace, () => this.#publish(key, snapshot)),
      );
  }

  /** The text moved on: what waits to be sent is about an older one. */
  callOff(key: string): void {
    this.#waiting.get(key)?.();
    this.#waiting.delete(key);
  }

  closed(key: string, file: string): void {
    this.callOff(key);
    this.#shown.delete(key);
    this.#send({ file, text: "", findings: [] });
  }

  #publish(key: string, snapshot: Snapshot): void {
    this.#waiting.delete(key);
    const shown = this.#shown.get(key);
    if (shown && shown.version > snapshot.version) return;
    const findings = this.#chosen(snapshot);
    const deepest = snapshot.phase === "text" ? "text" : snapshot.deepest;
    this.#shown.set(key, { text: snapshot.text, version: snapshot.version, findings, deepest });
    // Whether long lists are equal is asked only where it matters.
    const same = (): boolean =>
      findings.length === 0
        ? shown?.findings.length === 0
        : shown?.text === snapshot.text && JSON.stringify(shown.findings) === JSON.stringify(findings);
    if (same()) return;
    this.#send({ file: snapshot.file, version: snapshot.version, text: snapshot.text, findings });
  }

  /** Findings of the file itself, with the reader's own gravity, in text order. */
  #chosen(snapshot: Snapshot): readonly Finding[] {
    const chosen: Finding[] = [];
    for (const finding of snapshot.findings) {
      if (finding.place.file !== snapshot.file) continue;
      const gravity = this.#settings[finding.id] ?? finding.gravity;
      if (gravity !== "off") chosen.push(gravity === finding.gravity ? finding : { ...finding, gravity });
    }
    return chosen.sort((a, b) => a.place.from - b.place.from || a.place.to - b.place.to);
  }
}
