/** Where what is said of a whole proposal stands. */
import type { ProposalStatement } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";

/** The proposal's label, else its word. */
export function labelPlace({ label, from }: ProposalStatement, file: string): Place {
  return label ? { file, from: label.from, to: label.to } : { file, from, to: from + "proposal".length };
}
