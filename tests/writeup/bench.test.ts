/** What the meter should read, and what the findings come to, in the page that is handed on. */
import { expect, test } from "vitest";
import { writeUp } from "../../server/editor/write-up.ts";
import { viewOf } from "../editor/support.ts";

test("the page tells how to test each part, the findings with their suspects, and takes no markup from either", () => {
  const { view } = viewOf(
    `
    machine "M"
    supply single 240 V 60 Hz
    switch S 1 to 2 closed in on, open in off  rated 16 A 250 V
    heater HT 2400 W 240 V
    wire L to S to HT to N
    findings "<b>cold</b>" {
      when S on
      seen HT cold
      volts HT.1 to HT.2 240 V
    }
  `,
    [],
    true,
  );
  const { engine } = view.machines[0]!;
  const statement = view.tree.statements.find((one) => one.statement === "findings")!;
  const benches = [{ statement, engine: engine! }] as NonNullable<typeof view.benches>;
  const html = writeUp({ ...view, benches }, view.machines[0]!, "bench.camleaf");
  expect(html).toContain("<h2>What the meter should read</h2>");
  // 24 ohm hot, 24 / 1.018 cold (factor Ct of Cr20Ni80 at 600 °C, GB/T 1234).
  expect(html).toContain("<td>23.6 ohm (22.3 to 26.7 ohm)</td>");
  expect(html).toContain("<h3>&lt;b&gt;cold&lt;/b&gt;</h3>");
  expect(html).toMatch(/<td>seen HT cold<\/td><td>a sound machine shows works<\/td>/);
  expect(html).toContain("<strong>HT is open</strong>");
  expect(html).not.toContain("<b>cold</b>");
});
