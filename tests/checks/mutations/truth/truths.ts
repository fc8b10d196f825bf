/** All that is true of a machine, worked out from the plain walk. */
import type { Machine } from "../../../../server/machine/machine.ts";
import { later } from "./later.ts";
import { moments } from "./moments.ts";
import { Facts, Plain } from "./plain.ts";
import { program } from "./program.ts";
import { protection } from "./protection.ts";
import { ratings } from "./ratings.ts";
import { volts } from "./volts.ts";

export function truths(machine: Machine, withLater: boolean): Facts {
  const facts = new Facts();
  const plain = new Plain(machine);
  protection(plain, facts);
  volts(plain, facts);
  ratings(plain, facts);
  program(plain, facts);
  moments(plain, facts);
  if (withLater) later(plain, facts);
  return facts;
}
