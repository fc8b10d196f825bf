/** Every check, one line each, the most dangerous first. The order is the order of the findings. */
import type { Check } from "./check.ts";
import { contactOverRating } from "./contact-over-rating/check.ts";
import { guardDefeated } from "./guard-defeated/check.ts";
import { legsShorted } from "./legs-shorted/check.ts";
import { loadNeverEnergised } from "./load-never-energised/check.ts";
import { loadWithoutProtector } from "./load-without-protector/check.ts";
import { looseEnd } from "./loose-end/check.ts";
import { statesNotCovered } from "./states-not-covered/check.ts";

export const checks: readonly Check[] = [
  legsShorted,
  loadWithoutProtector,
  guardDefeated,
  contactOverRating,
  loadNeverEnergised,
  looseEnd,
  statesNotCovered,
];
