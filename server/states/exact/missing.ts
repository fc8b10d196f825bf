/** What an analysis did not cover, in plain sentences. */
import type { LoadId, Machine } from "../../machine/machine.ts";

export interface NotCovered {
  /** Every state was reached that can be. */
  readonly reached: boolean;
  /** Loads that the budget left open somewhere. */
  readonly open: readonly LoadId[];
  /** None of them decides what can be reached. */
  readonly sure: boolean;
  /** Loads for which not every "in series" was told. */
  readonly series: Iterable<LoadId>;
  /** Coils that act by current but have no ohms. */
  readonly noAmps: readonly LoadId[];
}

/** Coils that act by current and have no ohms, so that no current is told. */
export function coilsWithoutOhms({ controls, loads }: Machine): LoadId[] {
  return controls.flatMap(({ rule }) =>
    rule?.rule === "current" && loads[rule.load]!.impedance.some((z) => z?.re === 0 && z.im === 0) ? [rule.load] : [],
  );
}

/** Empty when everything was covered. */
export function missingWords(
  { loads, contacts }: Machine,
  { reached, open, sure, series, noAmps }: NotCovered,
): string[] {
  const names = (ids: Iterable<LoadId>): string => [...ids].map((id) => loads[id]!.name).join(", ");
  const missing: string[] = [];
  if (!reached) missing.push("the analysis was stopped before it had reached every state");
  if (open.length > 0)
    missing.push(`not told apart within the budget, and taken as working where in doubt: ${names(open)}`);
  if (!sure && open.length > 0)
    missing.push(
      "these decide where relays, motors or inputs go, so that which states can be reached is not sure either",
    );
  const inSeries = names(series);
  if (inSeries !== "") missing.push(`what is in series was not told apart within the budget for: ${inSeries}`);
  for (const load of noAmps)
    missing.push(`the current through ${loads[load]!.name} decides a contact, but no ohms are stated for it`);
  // Each is taken as a short; several in a row may be none.
  const lowOhms = contacts.reduce((sum, { ohms }) => sum + (ohms <= 1 ? ohms : 0), 0);
  if (lowOhms > 1) missing.push("contacts of some ohms in a row may be shorted or not: taken as shorted");
  return missing;
}
