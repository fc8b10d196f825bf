/** Conditions and states: read, printed back, read again. */
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import {
  describeCondition,
  describeState,
  type Machine,
  resolveCondition,
  restState,
  stateFrom,
} from "../../server/machine/index.ts";
import { controlOf, machineOf } from "../support/fixture.ts";

const machine = machineOf(`supply 120/240 V 60 Hz
  timer TM {
    contact a 1 to 2 closed in on
    chart { steps off 1 timed 12 on 2 auto 8
    }
  }
  switch DOOR { positions shut open
    contact 1 to 2 in shut
  }
  selector TEMP { positions hot warm cold
    contact 1 to 2 in hot
  }
  motor DM 120 V { winding main 4 to 5 runs 5 A
    speed-switch { contact 1 to 2 while running
    }
  }
  push START
  thermostat CT opens 68 C`);

function condition(text: string, of: Machine = machine) {
  const statement = parse(`expect X off when ${text}`).statements[0]!;
  if (statement.statement !== "expect" || !statement.when) throw new Error("no condition");
  return resolveCondition(of, statement.when);
}

test.each([
  "TM in timed 3..8 or auto",
  "DOOR shut",
  "TM in timed, DOOR open, START pressed",
  "TM in off, CT open or when START pressed",
  "TEMP in hot or cold",
  "DM running",
  "DM in stopped or hums",
  "SUPPLY off",
  "CT closed",
])("%s", (text) => {
  expect(describeCondition(machine, condition(text))).toBe(text);
});

test.each([
  ["TM in timed 1..12", "TM in timed"],
  ["TM 2..4", "TM in timed 1..3"],
  ["TM in 1", "TM in off"],
  ["TEMP in hot or warm or cold", "always"],
  ["DOOR shut, DOOR open", "never"],
  ["DOOR in shut", "DOOR shut"],
])("%s means %s", (text, printed) => {
  expect(describeCondition(machine, condition(text))).toBe(printed);
});

test("terms that nothing is known of are left out", () => {
  expect(describeCondition(machine, condition("NOBODY open, DOOR open"))).toBe("DOOR open");
});

test("states from conditions: the rest stays at rest", () => {
  const state = stateFrom(machine, condition("TM in timed 3..8, DOOR open"))!;
  expect(describeState(machine, state)).toBe("TM in timed 3, DOOR open");
  expect(describeState(machine, restState(machine))).toBe("everything at rest");
  expect(describeState(machine, state, [controlOf(machine, "START").id])).toBe("START released");
  expect(stateFrom(machine, condition("DOOR shut, DOOR open"))).toBeUndefined();
});
