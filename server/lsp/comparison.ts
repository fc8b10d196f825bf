/** A proposal beside its machine, over the protocol. */
import { findingText } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { type ComparedPicture, comparisonOf } from "../editor/comparison.ts";
import {
  type ComparedDrawing,
  type ComparisonParams,
  type ComparisonResult,
  comparison,
  type TextPlace,
} from "../protocol.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerComparison({ connection, service, positions, log, told }: FeatureContext): void {
  connection.onRequest(
    comparison,
    guarded<ComparisonParams, ComparisonResult | null>(log, "comparison", null, async (params) => {
      // A verdict is handed on: it waits for every check.
      const snapshot = await service.analysed(params.uri);
      if (!snapshot) return null;
      const offset = params.at ? positions.offset(snapshot.text, params.at) : 0;
      const answer = comparisonOf(snapshot, params.proposal, offset, params.row, told.drawing);
      if (!answer) return null;
      const placed = (place: Place | undefined): { place?: TextPlace } => {
        const text = place && (place.file === snapshot.file ? snapshot.text : service.textOf(place.file));
        return text === undefined ? {} : { place: { uri: place!.file, range: positions.range(text, place!) } };
      };
      const drawn = ({ svg, state, parts }: ComparedPicture): ComparedDrawing => ({
        svg,
        state,
        parts: parts.map(({ name, place }) => ({ name, ...placed(place) })),
      });
      const { labels, index, machine, headline, rows, cannot, fits, cautions, style, pictures } = answer;
      return {
        version: snapshot.version,
        proposals: labels,
        proposal: index,
        machine,
        headline,
        rows: rows.map(({ place, ...row }) => ({ ...row, ...placed(place) })),
        cannot: cannot.map((finding) => ({ text: findingText(finding), ...placed(finding.place) })),
        fits,
        cautions,
        style,
        ...(pictures && { before: drawn(pictures.before), after: drawn(pictures.after) }),
      };
    }),
  );
}
