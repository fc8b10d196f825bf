/** What happens between two states at rest: relays one after the other, cams of one step in any order. Worked by hand. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const head = 'machine "Bench"\nsupply single 120 V 60 Hz breaker 15 A legs L N PE\n';
const told = (text: string) => {
  const [machine] = machinesOf(head + text);
  expect(machine!.findings.filter(({ gravity }) => gravity === "error").map(({ what }) => what)).toEqual([]);
  return findingsOf(machine!, {}).filter(({ id }) =>
    ["opposed-loads", "relays-bridge", "cams-bridge", "reverses-without-pause"].includes(id),
  );
};
const brief = (text: string) => told(text).map(({ gravity, id }) => `${gravity} ${id}`);

const motor = `motor DM 120 V thermally-protected {
  winding left 1 to 3 draws 3 A pf 0.6
  winding right 2 to 3 draws 3 A pf 0.6
}
wire DM.3 to N
`;
const relays = (
  coils: string,
) => `switch SW { positions off left right; contact 1 to 2 in left; contact 1 to 3 in right }
relay KL { coil A1 to A2 120 V 3 W; contact 1 to 2 while energised; contact 3 to 4 while dropped-out }
relay KR { coil A1 to A2 120 V 3 W; contact 1 to 2 while energised; contact 3 to 4 while dropped-out }
${motor}wire L to SW.1
${coils}
wire L to KL(1 2) to DM.1
wire L to KR(1 2) to DM.2
`;

it("one relay pulls in before the other has dropped out: both directions for a moment", () => {
  expect(brief(relays("wire SW.2 to KL(A1 A2) to N\nwire SW.3 to KR(A1 A2) to N"))).toEqual([
    "warning opposed-loads",
    "warning reverses-without-pause",
  ]);
});

it("each coil through a closed contact of the other relay: no moment with both, but still no pause", () => {
  const interlocked = "wire SW.2 to KR(3 4) to KL(A1 A2) to N\nwire SW.3 to KL(3 4) to KR(A1 A2) to N";
  expect(brief(relays(interlocked))).toEqual(["warning reverses-without-pause"]);
});

const timer = (contacts: string, chart: string) => `timer TM {
  ${contacts}
  chart {
    ${chart}
  }
  forward only
}
${motor}wire L to TM.C
`;

it("cams of one step: two contacts may overlap, a changeover may not", () => {
  const two = timer("contact l C to A\n  contact r C to B", "steps off 1 left 1 right 1\n    l - X -\n    r - - X");
  expect(brief(`${two}wire TM.A to DM.1\nwire TM.B to DM.2\n`)).toContain("warning opposed-loads");
  const one = timer(
    "contact run C to D\n  contact dir D to A or B",
    "steps off 1 left 1 right 1\n    run - X X\n    dir 1 1 2",
  );
  expect(brief(`${one}wire TM.A to DM.1\nwire TM.B to DM.2\n`)).toEqual(["warning reverses-without-pause"]);
});

it("two contacts that both close early before a third opens", () => {
  const text = `timer TM {
  contact a A to B
  contact b B to C
  contact c C to D
  chart {
    steps off 1 fill 1 drain 1
    a - X -
    b - - X
    c - - X
  }
}
lamp DL 10 W 120 V
wire L to TM.A
wire TM.D to N
wire TM.B to DL to N
`;
  const [finding] = told(text);
  expect(finding?.id).toBe("cams-bridge");
  expect(finding?.what).toContain("TM.b and TM.c tie L to N if they close before TM.a opens");
});

it("only states from which the timer can really go on count", () => {
  const text = (turned: string) => `timer TM {
  contact a A to B
  contact b B to C
  drive M1 to M2 120 V 3 W
  chart 2 min per step {
    steps off 1 fill 1 drain 1
    a - X -
    b - - X
  }
  ${turned}
  forward only
}
level WL { water empty full; contact 1 to 2 in empty, else 3 }
lamp DL 10 W 120 V
wire L to WL.1
wire WL.2 to TM.A
wire WL.3 to TM(M1 M2) to N
wire TM.C to N
wire TM.B to DL to N
`;
  expect(brief(text("turned by hand when WL empty"))).toEqual(["error cams-bridge"]);
  expect(brief(text("turned by hand when WL full"))).toEqual([]);
});
