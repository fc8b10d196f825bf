/** What a start button or a speed switch kept off, and a lead across it lets go. Trade judgement, no published source. */
import { expect, it } from "vitest";
import { linesOf, proposed } from "./support.ts";

const across = (what: string) => proposed("electric-dryer", `proposal "lead" {\n  jumper ${what}\n}\n`);
const dangers = (what: string) => linesOf(across(what)).filter((line) => line.startsWith("danger: "));

it("with a lead across the start button the drum turns and the coil heats as soon as the timer stands on: danger", () => {
  const told = dangers("START.1 to START.2");
  for (const load of ["DM.main (drive motor)", "HT (drying coil)"])
    expect(told.join("\n")).toContain(
      `Starts by itself: ${load} is on as soon as the controls stand so. Before, it stayed off there until it was started.`,
    );
});

it("with one across the motor's own switch the coil heats in standing air: told first, as a bridge", () => {
  expect(across("DM.1 to DM.2").verdict?.headline).toBe(
    "DANGER: DM.1-2 (drive motor) is bridged. This must be removed before the machine is used.",
  );
  expect(dangers("DM.1 to DM.2")[0]).toContain("The speed switch DM.1-2 (drive motor) is bridged");
});

it("with one across the timer's heat contact the motor still has to be started: nothing starts by itself", () => {
  expect(dangers("TM.C to TM.D")).toEqual([]);
});
