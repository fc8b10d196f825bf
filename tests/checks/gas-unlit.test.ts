/** Gas may only flow once something has lit it. Common practice, no published source: hot surface ignition proves the igniter first. */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { machineOf } from "../support/fixture.ts";
import { findingsOf, machinesOf } from "./analysed.ts";

const burner = readFileSync(new URL("../../samples/gas-burner.camleaf", import.meta.url), "utf8");
const told = (text: string) =>
  findingsOf(machineOf(text))
    .filter(({ id }) => id === "gas-unlit")
    .map(({ what }) => what);

it("a burner as it is made lets no gas flow before its sensor is hot", () => {
  expect(told(burner)).toEqual([]);
});

it("nor do the two kinds of the language cases", () => {
  const text = readFileSync(new URL("../language/cases/gas-burners.camleaf", import.meta.url), "utf8");
  for (const machine of machinesOf(text))
    expect(findingsOf(machine).filter(({ id }) => id === "gas-unlit")).toEqual([]);
});

it("the main coil across the igniter instead of across the sensor opens the valve cold: told, with a cold sensor", () => {
  const crossed = burner
    .replace("wire GV.3 to GV.4 ", "wire GV.1 to GV.4 ")
    .replace("wire GV.5 to N", "wire GV.5 to GV.3");
  const [finding, ...more] = findingsOf(machineOf(crossed)).filter(({ id }) => id === "gas-unlit");
  expect(more).toEqual([]);
  expect(finding).toMatchObject({
    gravity: "error",
    what: "GV (gas valve) lets gas flow while FS (radiant sensor) is cold: nothing has lit it.",
  });
  expect(finding!.state!.positions.map(({ control }) => control)).not.toContain("FS");
});

it("a main coil on the line is told, whatever the sensor does", () => {
  expect(told(burner.replace("wire GV.3 to GV.4 ", "wire GV.1 to GV.4 "))).toHaveLength(1);
});

const ovenBurner = (valve: string, more = "") => `
  machine "Larkfield gas oven"
  supply single 120 V 60 Hz breaker 15 A legs L N PE
  ${more}
  switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
  thermostat OT opens 60..260 C by hand rated 15 A 125 V
  limit OL opens 300 C hand-reset at "oven" rated 15 A 125 V
  igniter IG 120 V draws 3.4 A
  valve GV "oven valve" gas 3.2 V draws 3.2 A pf 0.9 through IG
  wire L to SW to OT to OL
  ${valve}`;

it("without a sensor the igniter itself has to carry the valve", () => {
  expect(told(ovenBurner("wire OL.2 to IG to GV to N"))).toEqual([]);
  const apart = ovenBurner("wire OL.2 to GV(1 2) to N\n push IB\n wire SW.2 to IB to IG to N").replace(
    "3.2 V draws 3.2 A",
    "120 V draws 60 mA",
  );
  expect(told(apart)).toEqual(["GV (oven valve) lets gas flow while IG is off: nothing lights it."]);
});

it("a board that lights it is taken at its word: nobody sees how", () => {
  const board = ovenBurner(
    "wire OL.2 to EB.L\n wire N to EB.N\n wire EB.I to IG to N\n wire EB.V to GV(1 2) to N",
    "board EB {\n feed L to N 120 V 2 W\n contact L to I\n contact L to V\n }",
  ).replace("3.2 V draws 3.2 A", "120 V draws 60 mA");
  expect(told(board)).toEqual([]);
});
