/** Replacement fit, read as a technician reads two wiring sheets side by side (trade judgement; amps by Ohm's law). */
import { describe, expect, it } from "vitest";
import { proposed, sample } from "./support.ts";

const lines = (proposal: string, base = "top-loading-washer") =>
  proposed(base, proposal).fits!.flatMap(({ lines: all }) =>
    all.map(({ about, text, fits }) => `${fits}: ${about} ${text}`),
  );
const timer = sample("proposals/smaller-timer");

describe("the replacement timer", () => {
  it("is too small for the motor it starts: 23.8 A made, 5 A allowed", () => {
    const wrong = lines(timer).filter((line) => line.startsWith("wrong"));
    expect(wrong).toContainEqual(
      expect.stringMatching(/^wrong: TM\.spin makes 23\.8 A in this machine; the new part may make 5 A/),
    );
    expect(wrong).toContainEqual(
      expect.stringMatching(/^wrong: TM\.agit carries 7\.2 A in this machine; the new part may carry 5 A/),
    );
    // The pump draws less than 5 A: its contact is among those that fit.
    expect(wrong.some((line) => line.includes("TM.pump"))).toBe(false);
    expect(lines(timer).at(-1)).toMatch(/^right: \d contacts? stand/);
  });

  it("is told where its chart, its terminals, its motor or its steps differ", () => {
    const large = timer.replace("rated 5 A 125 V", "rated 1 hp 125 V or 25 A 125 V");
    expect(lines(large).filter((line) => line.startsWith("wrong"))).toEqual([]);
    const chart = large.replace(
      "pump   -      -       -----   -        XX       XXX",
      "pump   -      -       -----   -        XX       XX-",
    );
    expect(lines(chart)).toContainEqual(
      expect.stringMatching(/^wrong: TM\.pump is closed when .*spin 1\.\.2.*; the old one when .*spin/),
    );
    const swapped = large
      .replace("contact pump  H to D", "contact pump  H to S")
      .replace("contact spin  R to S", "contact spin  R to D");
    expect(lines(swapped)).toContainEqual(
      "wrong: TM.pump is between H to S on the new part, H to D on the old one: move its wires.",
    );
    expect(lines(large.replace("M1 to M2  120 V", "M1 to M2  240 V"))).toContainEqual(
      "wrong: TM.drive is made for 240 V on the new part, 120 V on the old one.",
    );
  });
});
