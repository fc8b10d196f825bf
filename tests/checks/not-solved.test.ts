/** What is not worked out is said: behind a diode only plain resistance is (half wave, true rms: 1/sqrt 2). */
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { contactReadout } from "../../server/editor/contact-readout.ts";
import { viewOf } from "../editor/support.ts";
import { findingsOf, machinesOf } from "./analysed.ts";

const dryer = (fan: string, rated = "10 A") => `machine "Larkfield B2 hair dryer"
supply single 230 V 50 Hz breaker 13 A legs L N PE
selector S {
  positions off low high
  contact C to D in low rated ${rated} 250 V
  contact C to F in high rated 10 A 250 V
}
diode D1
link F1 117 C rated 10 A 250 V
heater H1 1800 W 230 V also at 162.6 V
${fan}
wire L to F1 to S.C
wire S.D to D1 to S.F
wire S.F to H1 to N`;
const withFan = (rated?: string) =>
  dryer("fan M 230 V 12 W impedance-protected", rated).replace("wire L to F1", "wire S.F to M to N\nwire L to F1");

describe("a heater and a fan behind one diode", () => {
  it("is told with the contacts that could not be judged, and a state that shows it", () => {
    const [finding, ...more] = findingsOf(machinesOf(withFan("0.1 A"))[0]!, {}).filter(
      ({ id }) => id === "states-not-covered",
    );
    expect(more).toEqual([]);
    expect(finding).toMatchObject({
      gravity: "information",
      what: "The amounts of H1 and M behind D1 are not worked out in every state.",
    });
    expect(findingText(finding!)).toMatch(/What S\.C-D \(selector\)|What S\.C-D/);
    expect(finding!.state!.positions).toEqual([{ control: "S", position: "in low" }]);
  });

  it("no contact there is said to carry no current", () => {
    const [machine] = viewOf(withFan(), [], true).view.machines;
    const facts = contactReadout(machine!, machine!.machine.contacts.find(({ name }) => name === "S.C-D")!.id).facts;
    expect(facts.map(({ name }) => name)).not.toContain("carries");
    expect(facts.find(({ name }) => name === "not worked out")?.text).toContain("S in low");
  });
});

it("a plain heater behind a diode is solved and judged: 7.83 A less 29 % is 5.53 A", () => {
  const found = findingsOf(machinesOf(dryer("", "5 A"))[0]!, {});
  expect(found.map(({ id }) => id)).not.toContain("states-not-covered");
  expect(found.find(({ id }) => id === "contact-over-rating")?.what).toContain(
    "S.C-D carries, makes and breaks 5.53 A",
  );
});
