/** Contacts that carry nothing once the motor runs still make its starting current each time. */
import { describe, expect, it } from "vitest";
import { machineOf } from "../support/fixture.ts";
import { findingsOf } from "./analysed.ts";

const withStartContact = (rating: string) => `
  machine "m"
  supply 120 V 60 Hz breaker 15 A
  timer TM {
    drive 1 to 2 120 V draws 21 mA
    contact run   L to R rated 15 A 125 V or 1/2 hp 125 V
    contact start L to S ${rating}
    chart 1 min per step {
      steps off 1 spin 3
      run   -     XXX
      start -     XXX
    }
  }
  motor DM 120 V 1/3 hp thermally-protected {
    winding main  4 to 5 runs 5.2 A pf 0.62 starts 22 A pf 0.62
    winding start 3 to 5 starts 11 A pf 0.9
    speed-switch { contact 6 to 3 while stopped }
  }
  wire L to TM.L
  wire L to TM.1
  wire TM.2 to N
  wire TM.R to DM.4
  wire TM.S to DM.6
  wire DM.5 to N
`;

// 11 A are the nameplate's own starting current of that winding at its 120 V.
describe("a contact in the start winding's path", () => {
  it.each([
    ["rated 5 A 125 V", 1],
    ["rated 15 A 125 V", 0],
  ])("%s: told %i times", (rating, times) => {
    const told = findingsOf(machineOf(withStartContact(rating))).filter(({ id }) => id === "contact-over-rating");
    expect(told.filter(({ what }) => what.includes("TM.start"))).toHaveLength(times);
    if (times > 0) expect(told[0]!.what).toMatch(/makes 11 A/);
  });
});

describe("plain amps are told by what they do not speak of", () => {
  const told = (load: string) =>
    findingsOf(
      machineOf(`machine "m"
        supply single 120 V 60 Hz breaker 15 A legs L N PE
        switch DS "light switch" {
          positions shut open
          contact 1 to 2 in open rated 4 A 125 V
        }
        ${load}
        wire L to DS to X to N`),
    ).find(({ id }) => id === "contact-over-rating");

  // 40 W at 120 V are 0.333 A; cold 14 times that (a practitioner's figure), 4.67 A.
  it("a cold filament is no motor", () => {
    const finding = told("lamp X 40 W 120 V filament");
    expect(finding?.what).toContain("makes 4.67 A; rated 4 A at 125 V");
    // NEC 404.14(A), from memory: such a switch may switch lamps up to its amps, so it is a note.
    expect(finding?.gravity).toBe("information");
    expect(`${finding?.why} ${finding?.advice}`).toMatch(/cold filament.*square brackets/);
    expect(`${finding?.why} ${finding?.advice}`).not.toMatch(/motor|horsepower/);
  });
  it("nor is a solenoid", () => {
    const finding = told("valve X 120 V draws 0.5 A");
    expect(finding?.why).toMatch(/armature/);
  });
  it("a motor is", () => {
    expect(told("motor X 120 V draws 1 A pf 0.6 thermally-protected")?.why).toMatch(/starting motors/);
  });
});

describe("heater and motor through one contact of 16(4) A", () => {
  // IEC 61058-1 (from memory): the figure in brackets is a motor load, of which six times is made: 24 A. Heater 16 A, motor broken 4 A.
  const told = (heater: string, motor: string) =>
    findingsOf(
      machineOf(`machine "m"
        supply single 230 V 50 Hz breaker 20 A legs L N PE
        switch SW 1 to 2 closed in on, open in off rated 16(4) A 250 V
        heater HT ${heater} 230 V attended
        motor M 230 V ${motor} thermally-protected
        wire L to SW to HT to N
        wire SW.2 to M to N`),
    )
      .filter(({ id }) => id === "contact-over-rating")
      .map(({ what }) => what);

  it("makes 10.4 A of heater and 11.4 A of motor at once: within the 24 A that it was tested to make", () => {
    expect(told("2400 W", "draws 1.9 A pf 0.8")).toEqual([]);
  });
  it("breaks 3 A of motor and 1.5 A of heater at once, 4.3 A: within 16 A, and the motor within its 4 A", () => {
    expect(told("345 W", "draws 3 A pf 0.8")).toEqual([]);
  });
  it("the heater alone is too much for its figure, whatever the motor's is", () => {
    // 3800 W at 230 V: 16.5 A.
    expect(told("3800 W", "draws 0.5 A pf 0.8")).toEqual([expect.stringMatching(/16 A resistive/)]);
  });
  it("the motor alone is too much for its figure, whatever the heater's is", () => {
    expect(told("2400 W", "draws 4.5 A pf 0.8")).toEqual([expect.stringMatching(/motor/)]);
  });
  it("both together are more than any figure", () => {
    // 15 A of heater and 15 A of starting motor: 28.6 A.
    expect(told("3450 W", "draws 2.5 A pf 0.8")).toEqual([expect.stringMatching(/makes 2\d(\.\d)? A; rated 24 A/)]);
  });
});

describe("on two legs, where the volts pick the limit", () => {
  const text = (rating: string, motor: string, back: string) => `
    machine "Larkfield D2"
    supply 120/240 V 60 Hz breaker 30 A
    switch SW 1 to 2 closed in on, open in off rated 1 hp 250 V
    push START ${rating}
    motor DM ${motor} thermally-protected {
      winding main  4 to 5 runs 3 A pf 0.62 starts 14 A pf 0.62
      winding start 3 to 5 starts 9 A pf 0.88
      speed-switch {
        contact 6 to 3 while stopped rated 5 A 250 V
        contact 7 to 4 while running rated 1 hp 250 V
      }
    }
    heater HT 1000 W 240 V attended
    wire L1 to SW to START to DM.4
    wire SW.2 to DM.7
    wire DM.4 to DM.6
    wire DM.5 to ${back}
    wire L1 to HT to L2
  `;
  const told = (rating: string, motor: string, back: string) =>
    findingsOf(machineOf(text(rating, motor, back))).flatMap(({ id, what }) =>
      id === "contact-over-rating" ? [what] : [],
    );

  // By hand: the start winding alone takes 9 A at standstill, and its contact opens it at speed with the contact's own 5 A stamp.
  it("a contact that only ever breaks, the start winding's own, is judged", () => {
    expect(told("rated 1 hp 250 V", "120 V", "N")).toEqual(["DM.6-3 breaks 9 A; rated 5 A at 250 V."]);
  });

  // The motor holds itself in past the button, which so opens with one end dead and the other on the motor's other leg: 120 V. It closes at 240 V.
  it("a start button works at the volts that it puts the motor under", () => {
    expect(told("rated 1 hp 125 V", "240 V", "L2")[0]).toBe("START works at 240 V, but is rated up to 125 V only.");
    expect(told("rated 1 hp 125 V", "120 V", "N")[0]).not.toContain("START");
  });
});
