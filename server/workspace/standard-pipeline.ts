import { parse } from "../../grammar/parse.ts";
import type { Pipeline } from "./pipeline.ts";
export const standardPipeline: Pipeline = {
  parse,
  name: ({ file, tree }) => ({
    machines: [],
    findings: tree.errors.map((error) => ({
      id: error.id,
      gravity: "error",
      place: { file, from: error.from, to: error.to },
      what: error.what,
      advice: error.advice,
      related: [],
    })),
  }),
  *analyse() {
    yield;
    return { machines: [], findings: [], missing: [] };
  },
  *later() {
    yield;
    return { findings: [], missing: [] };
  },
};
