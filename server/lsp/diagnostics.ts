import type { Diagnostic, DiagnosticRelatedInformation } from "vscode-languageserver";
import { DiagnosticSeverity, DiagnosticTag } from "vscode-languageserver";
import { type Finding, findingText, type Gravity } from "../base/finding.ts";
import type { Positions } from "./positions.ts";

const severities: Readonly<Record<Gravity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** A finding in the editor's words. `textOf` gives the texts of other files that it points to. */
export function toDiagnostic(
  finding: Finding,
  text: string,
  positions: Positions,
  textOf: (file: string) => string | undefined,
): Diagnostic {
  const relatedInformation: DiagnosticRelatedInformation[] = [];
  for (const { place, text: what } of finding.related) {
    const other = place.file === finding.place.file ? text : textOf(place.file);
    if (other === undefined) continue;
    relatedInformation.push({ location: { uri: place.file, range: positions.range(other, place) }, message: what });
  }
  return {
    range: positions.range(text, finding.place),
    severity: severities[finding.gravity],
    code: finding.id,
    source: "camleaf",
    message: findingText(finding),
    ...(relatedInformation.length > 0 ? { relatedInformation } : {}),
    ...(finding.unused ? { tags: [DiagnosticTag.Unnecessary] } : {}),
  };
}
