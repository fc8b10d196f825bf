/** A check: one folder each (check.ts, check.md), registered by one line in registry.ts. */
import type { Finding, Gravity } from "../base/finding.ts";
import type { Machine } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";

/** A finding as a check makes it: id and gravity come from the check, unless it knows better for this one. */
export type Report = Omit<Finding, "id" | "gravity"> & { readonly gravity?: Gravity };

export interface CheckContext {
  readonly engine: Engine;
  readonly machine: Machine;
  /**
   * An engine for a changed machine (lost neutral, other supply volts), under a budget of its own. Undefined while only
   * the main diagnostics are wanted.
   */
  readonly analyse?: (machine: Machine) => Generator<void, Engine>;
  /**
   * Says that a check of the later phase looked at something besides the machine as it is (`the neutral lost`), and what of it was cut by
   * the budget, as plain sentences.
   */
  looked(at: string, missing?: readonly string[]): void;
  /** Said by a check that hangs on structure alone as soon as, this time, it goes on to amounts or to what is in series. */
  amountsDecide(): void;
  /** Adds a finding; the registry fills in gravity from settings. */
  report(finding: Report): void;
}

export interface Check {
  /** Stable id, also the name of its folder and page. */
  readonly id: string;
  readonly gravity: Gravity;
  /** One line for lists of checks. */
  readonly title: string;
  /** `later`: runs after the main diagnostics, with a budget of its own. Left out: with the main diagnostics. */
  readonly phase?: "later";
  /**
   * `structure`: what it finds hangs on how the machine is connected, on its rules and on which load works in which state, never on an amount, in
   * no word of it (`server/machine/structure.ts`, `Engine.setNumbers`); all that it points at are places of things of the machine. Then its findings
   * are kept as long as that stays as it is. Where it now and then looks further it says so with `amountsDecide`.
   */
  readonly hangsOn?: "structure";
  /** Yields between jobs so that analysis can be cancelled. */
  run(context: CheckContext): Generator<void, void>;
}
