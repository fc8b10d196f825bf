/** Findings in the Static Analysis Results Interchange Format, OASIS SARIF 2.1.0, which build servers and code hosts read. */
import { isAbsolute } from "node:path";
import { pathToFileURL } from "node:url";
import type { Location, Log, ReportingDescriptor, Result } from "sarif";
import type { Gravity } from "../base/finding.ts";
import type { FileReport } from "./file-report.ts";
import type { FindingData } from "./print-finding.ts";

const levels: Record<Gravity, Result.level> = { error: "error", warning: "warning", information: "note", hint: "none" };

export function sarif(reports: readonly FileReport[], version: string): Log {
  const rules = new Map<string, ReportingDescriptor>();
  const results = reports.flatMap(({ findings }) =>
    findings.map((finding): Result => {
      if (!rules.has(finding.id)) rules.set(finding.id, { id: finding.id });
      return result(finding, [...rules.keys()].indexOf(finding.id));
    }),
  );
  const unread = reports.flatMap(({ unread: why }) => (why === undefined ? [] : [why]));
  const missing = reports.flatMap(({ file, missing: all }) =>
    all.map((sentence) => `${file}: not covered: ${sentence}`),
  );
  return {
    $schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json",
    version: "2.1.0",
    runs: [
      {
        tool: { driver: { name: "camleaf", semanticVersion: version, rules: [...rules.values()] } },
        columnKind: "unicodeCodePoints",
        invocations: [
          {
            executionSuccessful: unread.length === 0,
            toolExecutionNotifications: [
              ...unread.map((text) => ({ level: "error" as const, message: { text } })),
              ...missing.map((text) => ({ level: "warning" as const, message: { text } })),
            ],
          },
        ],
        results,
      },
    ],
  };
}

function result(finding: FindingData, ruleIndex: number): Result {
  const { id, gravity, what, why, advice, state, place, related } = finding;
  const shown = state?.positions.map(({ control, position }) => `${control} ${position}`).join(", ");
  const text = [what, why, advice, shown === undefined ? undefined : `A state that shows it: ${shown}.`]
    .filter((part) => part !== undefined && part !== "")
    .join(" ");
  return {
    ruleId: id,
    ruleIndex,
    level: levels[gravity],
    message: { text },
    locations: [location(place)],
    ...(related.length > 0
      ? {
          relatedLocations: related.map((other, index) => ({
            id: index + 1,
            message: { text: other.text },
            ...location(other.place),
          })),
        }
      : {}),
  };
}

function location({ file, from, to }: FindingData["place"]): Location {
  const uri = isAbsolute(file) ? pathToFileURL(file).href : encodeURI(file.replaceAll("\\", "/"));
  const region = from && {
    startLine: from.line,
    startColumn: from.column,
    ...(to ? { endLine: to.line, endColumn: to.column } : {}),
  };
  return { physicalLocation: { artifactLocation: { uri }, ...(region ? { region } : {}) } };
}
