/** The write-up as a page: self-contained, the same bytes each time, and the text comes back out of it. */
import { describe, expect, it } from "vitest";
import { writeUp } from "../../server/editor/write-up.ts";
import { viewOf } from "../editor/support.ts";

function written(source: string): { html: string; text: string } {
  const { view } = viewOf(source, [], true);
  return { html: writeUp(view, view.machines[0]!, "bench.camleaf"), text: view.text };
}

const machine = `
  machine "Larkfield <script>alert(1)</script> & Söhne"
  supply 120/240 V 60 Hz breaker 30 A
  limit HL opens 121 C closes 93 C senses HT rated 30 A 240 V
  heater HT "coil" 5400 W 240 V
  wire L1 to HL to HT to L2 RD 10 AWG
  note HT "new coil </pre><img src=x> fitted"
`;

describe("a write-up", () => {
  it("tells the calculated numbers: 5400 W at 240 V are 22.5 A (watts / volts)", () => {
    expect(written(machine).html).toContain('<th scope="row">amps</th><td>22.5 A</td>');
  });

  it("takes no markup from the text, runs nothing and fetches nothing", () => {
    const { html } = written(machine);
    expect(html).not.toMatch(/<script|<img|<iframe|<link|src=(?!x)/i);
    expect(html).not.toMatch(/(?:src|href)="https?:/i);
    expect(html).toContain("default-src 'none'");
  });

  it("gives the text back as it was", () => {
    const { html, text } = written(machine);
    const address = /href="data:text\/plain;charset=utf-8,([^"]*)"/.exec(html)![1]!;
    expect(decodeURIComponent(address.replaceAll("&amp;", "&"))).toBe(text);
  });

  it("is the same, byte for byte, each time", () => {
    expect(written(machine).html).toBe(written(machine).html);
  });

  it("says what a missing finding means, and the cautions", () => {
    const { html } = written(machine);
    for (const words of ["is not “safe”", "Unplug the machine", "Local codes"]) expect(html).toContain(words);
  });
});
