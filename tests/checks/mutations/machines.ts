/** The machines that are damaged: the samples, some ideas, and small ones made so that every check has something to lose. */
import { readFileSync } from "node:fs";
import type { Machine } from "../../../server/machine/machine.ts";
import { machinesOf } from "../analysed.ts";

const samples = new URL("../../../samples/", import.meta.url);
const fileOf = (name: string): string => readFileSync(new URL(`${name}.camleaf`, samples), "utf8");

/** A timer that runs a motor left, then right, with pauses; a relay pair that puts a coil on 240 or 120 V, each held off by the other. */
const reverser = `machine "Reverser"
supply 120/240 V 60 Hz breaker 20 A cord 12 AWG wiring 12 AWG
frame CAB "cabinet"
fuse F1 5 A
switch DOOR "door switch" {
  positions shut open
  contact 1 to 2 in shut rated 15(8) A 125 V
}
timer TM {
  rated 15(8) A 125 V
  drive M1 to M2 120 V draws 33 mA pf 0.65 resistance 2.2 kohm
  contact left  A to B
  contact right A to C
  contact adv   A to M1
  chart 5 min per step {
    steps off 1 left 2 pause 1 right 2 still 1
    left  -  XX  -  --  -
    right -  --  -  XX  -
    adv   -  XX  X  XX  -
  }
  forward only
}
motor DM "drum motor" 120 V thermally-protected {
  winding left  1 to 3 runs 3 A pf 0.6 starts 6 A pf 0.6 resistance 9 ohm
  winding right 2 to 3 runs 3 A pf 0.6 starts 6 A pf 0.6 resistance 9 ohm
  moves "drum" guarded by DOOR in shut
  on CAB
}
wire L1 to F1 to DOOR to TM.A 14 AWG 105 C
wire TM.B to DM.1 16 AWG 105 C
wire TM.C to DM.2 16 AWG 105 C
wire DM.3 to N 16 AWG 105 C
wire TM.M2 to N 16 AWG 105 C
bond CAB to PE
`;

const twoHeats = `machine "Two heats"
supply 120/240 V 60 Hz breaker 20 A cord 12 AWG
frame CAB "cabinet"
selector SW {
  positions off low high
  contact 1 to 2 in low rated 5 A 125 V
  contact 1 to 3 in high rated 5 A 125 V
}
relay KL {
  coil A1 to A2 120 V draws 40 mA pf 0.5 resistance 1.2 kohm
  contact 13 to 14 while energised rated 16 A 250 V
  contact 21 to 22 while dropped-out rated 5 A 250 V
}
relay KH {
  coil A1 to A2 120 V draws 40 mA pf 0.5 resistance 1.2 kohm
  contact 13 to 14 while energised rated 16 A 250 V
  contact 21 to 22 while dropped-out rated 5 A 250 V
}
limit HL opens 121 C closes 93 C self-resetting senses HT rated 16 A 250 V
heater HT 2400 W 240 V also at 120 V on CAB
capacitor C1 0.47 uF run 250 V bleeds 470 kohm
transformer T1 40 VA { primary 1 to 2 120 V; secondary 3 to 4 24 V }
valve Y1 24 V 10 W
wire L1 to SW.1
wire SW.2 to KH(21 22) to KL(A1 A2) to N
wire SW.3 to KL(21 22) to KH(A1 A2) to N
wire L1 to HL to HT.1 12 AWG 105 C
wire HT.2 to KL(13 14) to N 12 AWG 105 C
wire HT.2 to KH(13 14) to L2 12 AWG 105 C
wire SW.3 to C1 to N
wire SW.2 to T1.1
wire T1.2 to N
wire T1.3 to Y1 to T1.4
bond CAB to PE

expect HT gets 240 V when SW high
expect HT gets 120 V when SW low
expect HT off when SW off
`;

/** Cams that change a coil over from one leg to the other, with a step between in which neither is closed. */
const changingCams = `machine "Changing cams"
supply 120/240 V 60 Hz breaker 20 A
timer TM {
  contact full A to B rated 25 A 250 V
  contact half A to C rated 25 A 250 V
  chart 5 min per step {
    steps off 1 hot 2 between 1 warm 2
    full -  XX  -  --
    half -  --  -  XX
  }
}
limit HL opens 121 C closes 93 C self-resetting senses HT rated 25 A 250 V
heater HT 4800 W 240 V also at 120 V
wire L1 to HL to HT to TM.A
wire TM.B to L2
wire TM.C to N
`;

/** A relay contact beside the limit: harmless as it is wired, and one terminal further a way past the limit once any contact welds. */
const testLamp = `machine "Test lamp"
supply single 120 V 60 Hz breaker 15 A
selector SEL {
  positions off heat test
  contact 1 to 2 in heat rated 16 A 250 V
  contact 1 to 3 in test rated 16 A 250 V
}
relay K {
  coil A1 to A2 120 V draws 40 mA pf 0.5 resistance 1.2 kohm
  contact 1 to 2 while energised rated 16 A 250 V
}
limit HL opens 121 C closes 93 C self-resetting senses HT rated 16 A 250 V
heater HT 1200 W 120 V
lamp DL 10 W 120 V
wire L to SEL.1
wire SEL.2 to HL to HT to N
wire SEL.3 to DL to N
wire SEL.3 to K(A1 A2) to N
wire SEL.2 to K(1 2) to HL.1
`;

/** A switch that carries a heater or, in another position of a selector, a motor: the heater's current hides the motor's. */
const heatOrBlow = `machine "Heat or blow"
supply single 120 V 60 Hz breaker 20 A
switch SW 1 to 2 closed in on, open in off rated 16(8) A 250 V
selector SEL {
  positions off heat blow
  contact 1 to 2 in heat rated 16 A 250 V
  contact 1 to 3 in blow rated 16(8) A 250 V
}
limit HL opens 121 C closes 93 C self-resetting senses HT rated 16 A 250 V
heater HT 1800 W 120 V
motor FM 120 V 5 A starts 11 A thermally-protected
wire L to SW to SEL.1 14 AWG
wire SEL.2 to HL to HT to N 14 AWG
wire SEL.3 to FM to N 14 AWG
`;

/** A start winding that the shaft takes out, and an auxiliary one that its run capacitor lets stay in. */
const starters = `machine "Starters"
supply single 120 V 60 Hz breaker 20 A
switch SW 1 to 2 closed in on, open in off rated 16(8) A 125 V
motor DM 120 V thermally-protected {
  winding main  4 to 5 runs 5 A pf 0.62 starts 18 A pf 0.62 resistance 2.1 ohm
  winding start 3 to 5 starts 9 A pf 0.88 resistance 6.1 ohm
  speed-switch {
    contact 6 to 3 while stopped rated 20 A 125 V
  }
}
motor FM 120 V thermally-protected {
  winding main 1 to 2 runs 1 A pf 0.8 starts 2 A pf 0.7 resistance 30 ohm
  winding aux  3 to 2 starts 1 A pf 0.8 resistance 60 ohm
}
capacitor CR 10 uF 370 V run bleeds 15 kohm
wire L to SW to DM.4 14 AWG
wire DM.4 to DM.6 14 AWG
wire DM.5 to N 14 AWG
wire SW.2 to FM.1 14 AWG
wire SW.2 to CR to FM.3 14 AWG
wire FM.2 to N 14 AWG
`;

const texts: Readonly<Record<string, () => string>> = {
  "gas-burner": () => fileOf("gas-burner"),
  "fan-heater": () => fileOf("fan-heater"),
  "electric-dryer": () => fileOf("electric-dryer"),
  "top-loading-washer": () => fileOf("top-loading-washer"),
  reverser: () => reverser,
  "two heats": () => twoHeats,
  "changing cams": () => changingCams,
  "test lamp": () => testLamp,
  "heat or blow": () => heatOrBlow,
  starters: () => starters,
  "half-volts": () => fileOf("ideas/half-volts"),
  "hold-in": () => fileOf("ideas/hold-in"),
};

export const names = Object.keys(texts);

/** The four that the project is shown with. */
export const shownSamples = names.slice(0, 4);

/** Also of `parts`, the file that the washer uses. */
export function textOf(name: string): string {
  return texts[name]?.() ?? fileOf(name);
}

export function machineOf(text: string): Machine {
  return machinesOf(text, { "parts.camleaf": fileOf("parts") })[0]!;
}
