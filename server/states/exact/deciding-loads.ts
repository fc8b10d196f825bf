import type { LoadId, Machine } from "../../machine/machine.ts";

/** Loads that decide where settled controls go or whether an input can move. */
export function decidingLoads({ controls }: Machine): Set<LoadId> {
  const loads = new Set<LoadId>();
  for (const { rule, changes } of controls) {
    if (rule?.rule === "coil" || rule?.rule === "current") loads.add(rule.load);
    if (rule?.rule === "seat") for (const { load } of [...rule.opens, ...rule.stays]) loads.add(load);
    if (rule?.rule === "motor") for (const load of [...rule.mains, ...rule.starts]) loads.add(load);
    for (const { needs, unless } of changes ?? [])
      for (const { load } of [...(needs ?? []).flat(), ...(unless ?? [])]) loads.add(load);
  }
  return loads;
}
