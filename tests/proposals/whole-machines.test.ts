/** Bypasses and rewires of the whole machines in tests/checks: what the verdict is. Judged by hand, common practice, no published source. */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { linesOf, proposedTo } from "./support.ts";

const machine = (name: string): string =>
  readFileSync(new URL(`../checks/whole-machines/${name}.camleaf`, import.meta.url), "utf8");

it.each([
  ["drying-cabinet", "remove wire TM.3 to FN", "danger: Air lost: H1 and H2 can heat while FN (fan) stands still"],
  [
    "drying-cabinet",
    "remove wire TM.2 to RT.1\nwire L to RT.1",
    "danger: On by itself: H1 is on with every control as it rests.",
  ],
  [
    "washer-dryer",
    "jumper WL.11 to WL.12",
    "danger: The level switch WL.11-12 (pressure switch) is bridged: wash heater",
  ],
  ["washer-dryer", "jumper DT.1 to DR.2", "danger: New: DH (drying heater) has no thermal protector in series."],
  ["dishwasher", "jumper WM.4 to WM.2", "trouble: New: WM.start (wash pump motor) stays in circuit while WM"],
  ["rinse-boiler", "jumper BL.1 to BL.2", "danger: The limit BL (safety cut-out) is bridged: BH (boiler elements)"],
  ["roller-iron", "jumper MS.3 to MS.4", "danger: On by itself: HB (right shoe heater)"],
  ["roller-iron", "jumper FG.1 to FG.2", "danger: The guard FG.1-2 (finger guard) is bridged: roll can move"],
  ["gas-dryer", "remove FS", "danger: New: GV (gas valve, split coil) lets gas flow while"],
  ["gas-dryer", "jumper DM.1 to DM.2", "danger: The speed switch DM.1-2 is bridged: IG (igniter)"],
  [
    "water-heater",
    "remove wire UT.4 to LT.1\nwire UT.1 to LT.1",
    "danger: New: ECO.1-2 (energy cut-off, two poles) carries, makes and breaks 37.5 A; rated 30 A at 240 V.",
  ],
  ["drying-tower", "remove wire BC.G to GV.1\nwire BC.L to GV.1", "danger: Protection lost: the burner control BC.gas"],
  ["wringer", "jumper DRM.3 to DRM.4", "danger: The supply is shorted in a state in which it was not."],
])("%s: %s", (name, edits, said) => {
  const lines = linesOf(proposedTo(machine(name), `proposal "p" {\n${edits}\n}`));
  expect(lines.filter((line) => line.startsWith(said)).length, lines.slice(0, 5).join("\n")).toBeGreaterThan(0);
});

it.each([
  ["drying-cabinet", "jumper FD.1 to FD.2"],
  ["drying-cabinet", "remove wire TM.3 to FN.1\nremove wire FD.2 to FN.1\nwire RT.2 to FN.1"],
  ["washer-dryer", "replace WH by heater 1800 W 230 V"],
  ["washer-dryer", "change DH to 2000 W"],
  ["moisture-dryer", "jumper MB.3 to MB.4"],
  ["reversing-dryer", "jumper HS.1 to HS.2"],
])("no danger: %s: %s", (name, edits) => {
  const lines = linesOf(proposedTo(machine(name), `proposal "p" {\n${edits}\n}`));
  expect(lines.filter((line) => line.startsWith("danger"))).toEqual([]);
});
