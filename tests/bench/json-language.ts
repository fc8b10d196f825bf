/** The yardstick: a general-purpose language service for JSON on as many lines, with a schema, in the same run. */
import { getLanguageService, TextDocument } from "vscode-json-languageservice";
import { median } from "./states.ts";
import { jsonOfEqualLines } from "./texts.ts";

/** Milliseconds, medians. */
export interface JsonTiming {
  readonly lines: number;
  readonly parse: number;
  /** From a changed letter to the list of problems: new document, parse, validation against the schema. */
  readonly keystroke: number;
  readonly hover: number;
}

const schema = {
  type: "array",
  description: "Lines of a text",
  items: {
    type: "object",
    description: "One line",
    required: ["line", "kind", "words"],
    additionalProperties: false,
    properties: {
      line: { type: "integer", minimum: 1, description: "Number of the line" },
      kind: { type: "string", pattern: "^\\S*$", description: "First word" },
      words: { type: "array", items: { type: "string" }, description: "The other words" },
    },
  },
} as const;

export async function benchJson(text: string, runs: number): Promise<JsonTiming> {
  const json = jsonOfEqualLines(text);
  const service = getLanguageService({});
  service.configure({
    validate: true,
    schemas: [{ uri: "bench://schema.json", fileMatch: ["*.json"], schema: structuredClone(schema) as object }],
  });
  const at = json.indexOf('"words":["', json.length / 2) + 10;
  const parses: number[] = [];
  const keystrokes: number[] = [];
  const hovers: number[] = [];
  for (let run = 0; run <= runs; run++) {
    const edited = `${json.slice(0, at)}${run}${json.slice(at)}`;
    const begin = performance.now();
    const document = TextDocument.create("bench://text.json", "json", run, edited);
    const tree = service.parseJSONDocument(document);
    const parsed = performance.now();
    const problems = await service.doValidation(document, tree);
    const done = performance.now();
    if (problems.length > 0) throw new Error(`unexpected problem: ${problems[0]!.message}`);
    if (run > 0) {
      parses.push(parsed - begin);
      keystrokes.push(done - begin);
    }
    for (let index = 0; index < 20; index++) {
      const offset = Math.floor((index * edited.length) / 20);
      const start = performance.now();
      await service.doHover(document, document.positionAt(offset), tree);
      if (run > 0) hovers.push(performance.now() - start);
    }
  }
  const lines = json.split("\n").length - 1;
  return { lines, parse: median(parses), keystroke: median(keystrokes), hover: median(hovers) };
}
