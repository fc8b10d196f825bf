/** A check: one folder each (check.ts, check.md), registered by one line in registry.ts. */
import type { Finding, Gravity } from "../base/finding.ts";
import type { Engine } from "../states/engine.ts";

export interface CheckContext {
  readonly engine: Engine;
  /** Adds a finding; the registry fills in gravity from settings. */
  report(finding: Omit<Finding, "id" | "gravity"> & { readonly gravity?: Gravity }): void;
}

export interface Check {
  /** Stable id, also the name of its folder and page. */
  readonly id: string;
  readonly gravity: Gravity;
  /** One line for lists of checks. */
  readonly title: string;
  /** Yields between jobs so that analysis can be cancelled. */
  run(context: CheckContext): Generator<void, void>;
}
