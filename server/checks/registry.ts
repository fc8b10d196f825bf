/** Every check, one line each, the most dangerous first; those of the later phase at the end. The order is that of the findings. */

import { alwaysEnergised } from "./always-energised/check.ts";
import { backFeed } from "./back-feed/check.ts";
import { breakerSize } from "./breaker-size/check.ts";
import { breakerTooLarge } from "./breaker-too-large/check.ts";
import { camsBridge } from "./cams-bridge/check.ts";
import { capacitorHoldsCharge } from "./capacitor-holds-charge/check.ts";
import { capacitorVolts } from "./capacitor-volts/check.ts";
import { caseFault } from "./case-fault/check.ts";
import { chatter } from "./chatter/check.ts";
import type { Check } from "./check.ts";
import { contactOverRating } from "./contact-over-rating/check.ts";
import { cordSize } from "./cord-size/check.ts";
import { earthAsReturn } from "./earth-as-return/check.ts";
import { expectation } from "./expectation/check.ts";
import { frameOnNeutral } from "./frame-on-neutral/check.ts";
import { gasUnlit } from "./gas-unlit/check.ts";
import { guardDefeated } from "./guard-defeated/check.ts";
import { guardNotWritten } from "./guard-not-written/check.ts";
import { jumperLeftIn } from "./jumper-left-in/check.ts";
import { legsShorted } from "./legs-shorted/check.ts";
import { loadNeverEnergised } from "./load-never-energised/check.ts";
import { loadWeak } from "./load-weak/check.ts";
import { loadWithoutProtector } from "./load-without-protector/check.ts";
import { looseEnd } from "./loose-end/check.ts";
import { lostNeutral } from "./lost-neutral/check.ts";
import { meantVoltsUntrue } from "./meant-volts-untrue/check.ts";
import { motorCannotStart } from "./motor-cannot-start/check.ts";
import { neutralSideSwitch } from "./neutral-side-switch/check.ts";
import { opposedLoads } from "./opposed-loads/check.ts";
import { ratingNotWritten } from "./rating-not-written/check.ts";
import { relaysBridge } from "./relays-bridge/check.ts";
import { reversesWithoutPause } from "./reverses-without-pause/check.ts";
import { seriesFeed } from "./series-feed/check.ts";
import { startWindingStays } from "./start-winding-stays/check.ts";
import { statesNotCovered } from "./states-not-covered/check.ts";
import { stepUnreachable } from "./step-unreachable/check.ts";
import { supplyLimits } from "./supply-limits/check.ts";
import { timerStuck } from "./timer-stuck/check.ts";
import { unbondedMetal } from "./unbonded-metal/check.ts";
import { weldDefeatsProtector } from "./weld-defeats-protector/check.ts";
import { wireSize } from "./wire-size/check.ts";
import { wrongVoltage } from "./wrong-voltage/check.ts";

export const checks: readonly Check[] = [
  legsShorted,
  guardDefeated,
  gasUnlit,
  jumperLeftIn,
  loadWithoutProtector,
  earthAsReturn,
  unbondedMetal,
  frameOnNeutral,
  contactOverRating,
  camsBridge,
  relaysBridge,
  opposedLoads,
  wrongVoltage,
  capacitorVolts,
  chatter,
  breakerSize,
  cordSize,
  wireSize,
  breakerTooLarge,
  neutralSideSwitch,
  motorCannotStart,
  startWindingStays,
  reversesWithoutPause,
  backFeed,
  seriesFeed,
  loadWeak,
  meantVoltsUntrue,
  loadNeverEnergised,
  alwaysEnergised,
  timerStuck,
  stepUnreachable,
  looseEnd,
  capacitorHoldsCharge,
  expectation,
  guardNotWritten,
  ratingNotWritten,
  statesNotCovered,
  weldDefeatsProtector,
  caseFault,
  lostNeutral,
  supplyLimits,
];
