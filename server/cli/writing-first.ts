/** Errors of writing before what may only follow from them: half a wire leaves parts unused, loads unfed and expectations broken. */
import type { Finding } from "../base/finding.ts";
import { checks } from "../checks/registry.ts";

const ofChecks = new Set(checks.map(({ id }) => id));

/** What the text itself has wrong, not the circuit that it says. */
export function isWritingError({ gravity, id }: Pick<Finding, "gravity" | "id">): boolean {
  return gravity === "error" && !ofChecks.has(id) && !/^(proposal|bench|findings)-/.test(id);
}

/** The same findings, errors of writing first; else in the order that they have. */
export function writingFirst<F extends Finding>(findings: readonly F[]): readonly F[] {
  return [...findings.filter(isWritingError), ...findings.filter((finding) => !isWritingError(finding))];
}

/** Said below the findings where both kinds stand; undefined where not. */
export function mayOnlyFollow(findings: readonly Finding[]): string | undefined {
  const writing = findings.filter(isWritingError).length;
  if (writing === 0 || writing === findings.length) return undefined;
  return writing === 1
    ? "The error of writing comes first: what stands below it may only follow from it."
    : `The ${writing} errors of writing come first: what stands below them may only follow from them.`;
}
