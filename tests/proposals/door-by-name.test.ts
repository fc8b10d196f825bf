/** A lead across a door's switch is told first, also where nobody wrote what the door guards. Trade judgement, no published source. */
import { expect, it } from "vitest";
import { linesOf, proposedTo } from "./support.ts";

const machine = (switches: string) => `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch DS "door switch" {
  positions shut open
  contact 1 to 2 in shut
  contact 3 to 4 in open
}
switch SW 1 to 2 closed in on, open in off
motor M 120 V 1/4 hp thermally-protected
lamp DL 10 W 120 V
${switches}`;

it("the motor behind it can run with the door open: danger", () => {
  const found = proposedTo(
    machine("wire L to SW to DS.1\nwire DS.2 to M to N\nwire L to DS.3\nwire DS.4 to DL to N\n"),
    `proposal "p" {
  jumper DS.1 to DS.2
}`,
  );
  expect(found.verdict?.headline).toBe(
    "DANGER: DS.1-2 (door switch) is bridged. This must be removed before the machine is used.",
  );
  expect(linesOf(found)[0]).toContain(
    "The door or lid switch DS.1-2 (door switch) is bridged: M can be energised where DS.1-2 (door switch) kept it off.",
  );
});

it("only the drum lamp hangs on that contact: none", () => {
  const found = proposedTo(
    machine("wire L to SW to DS.1\nwire DS.2 to M to N\nwire L to DS.3\nwire DS.4 to DL to N\n"),
    `proposal "p" {
  jumper DS.3 to DS.4
}`,
  );
  expect(found.verdict?.headline).not.toContain("bridged");
});
