/** Words of a hover that hang on sets of states are kept while amounts are typed: said is what a service that never saw another text says. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { hover } from "../../server/editor/hover.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";
import { generatedText } from "../bench/texts.ts";

const file = "bench.camleaf";

async function hovers(
  service: Service,
  version: number,
  text: string,
): Promise<(readonly [string, string | undefined])[]> {
  service.put(file, version, text);
  const snapshot = (await service.analysed(file))!;
  return snapshot.machines.flatMap(({ machine }) =>
    machine.loads.map(({ name, namePlace }) => [name, hover(snapshot, namePlace.from)?.markdown] as const),
  );
}

async function expectAsFresh(texts: readonly string[]): Promise<ReadonlySet<string>> {
  const session = new Service(nodePlatform);
  const said = new Set<string>();
  for (const [index, text] of texts.entries()) {
    const now = await hovers(session, index + 1, text);
    expect(now, `text ${index}`).toEqual(await hovers(new Service(nodePlatform), 1, text));
    for (const [name, words] of now)
      for (const line of words?.split("\n") ?? []) if (/when|fed from/.test(line)) said.add(`${name} ${line}`);
  }
  return said;
}

test("a heater behind a resistor that is typed: works, weak and off come and go with the ohms", async () => {
  const text = (ohms: string) => `
machine "Larkfield drying box"
supply single 120 V 60 Hz breaker 15 A
switch S {
  positions off low high
  contact 1 to 2 in low
  contact 1 to 3 in high
}
resistor R1 ${ohms} ohm 500 W
heater HT 500 W 120 V attended
lamp DL 10 W 120 V
wire L to S.1
wire S.2 to R1 to HT to N
wire S.3 to HT.1
wire S.3 to DL to N
`;
  const said = await expectAsFresh(["1", "12", "120", "1200", "12", "1"].map(text));
  // 500 W at 120 V are 28.8 ohm: behind 1200 ohm it is off in low, behind 12 or 120 ohm weak.
  expect([...said].filter((line) => line.startsWith("HT ")).length).toBeGreaterThan(3);
});

test("the dryer's coil, and machines of ten devices", async () => {
  const dryer = readFileSync("samples/electric-dryer.camleaf", "utf8");
  await expectAsFresh(
    ["5400", "5450", "2700", "54", "5400"].map((watts) => dryer.replace("5400 W 240 V", `${watts} W 240 V`)),
  );
  const { text } = generatedText(100);
  const [heater = "", watts = ""] = /^heater \w+ (?:"[^"]*" )?(\d+)/m.exec(text)!;
  await expectAsFresh(
    [0, 7, 300, 90000, 7].map((more) => text.replace(heater, heater.replace(watts, `${Number(watts) + more}`))),
  );
});
