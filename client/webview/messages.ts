/** What the extension and the pages of its views tell one another. Types only: both sides are bundled apart. */
import type { ChosenState, StateWish } from "../../server/base/chosen-state.ts";
import type {
  BenchResult,
  ChartResult,
  ComparisonResult,
  DrawingResult,
  TextPlace,
  TextRange,
} from "../../server/protocol.ts";

export type PageKind = "drawing" | "chart" | "controls" | "bench" | "compare";

/** What a page keeps over a reload of the window. */
export interface Kept {
  readonly uri: string;
  readonly machine?: number;
  readonly live?: boolean;
  /** Section of the drawing, 0 for the whole. */
  readonly section?: number;
  /** Index of the findings block, or of the proposal. */
  readonly block?: number;
  readonly zoom?: number;
  /** Position of every control by name. */
  readonly names?: Readonly<Record<string, string>>;
}

export type ToPage =
  | { readonly show: "drawing"; readonly drawing: DrawingResult; readonly wantsLive: boolean; readonly uri: string }
  | { readonly show: "chart"; readonly chart: ChartResult; readonly uri: string }
  | { readonly show: "state"; readonly state: ChosenState; readonly uri: string }
  | { readonly show: "bench"; readonly bench: BenchResult; readonly uri: string }
  | { readonly show: "comparison"; readonly comparison: ComparisonResult; readonly row?: number; readonly uri: string }
  /** What was typed is no reading. */
  | { readonly show: "refused"; readonly words: string }
  /** `moved`: the caret came there just now, rather than the drawing being a new one. */
  | { readonly show: "selected"; readonly name: string | undefined; readonly moved: boolean }
  /** Asks for this picture as PNG. */
  | { readonly show: "rasterise"; readonly svg: string }
  /** Instead of all else: why there is nothing to show. */
  | { readonly show: "nothing"; readonly words: string }
  /** Something takes longer than a moment, or is done. */
  | { readonly show: "busy"; readonly words: string | undefined };

export type FromPage =
  | { readonly tell: "ready" }
  | { readonly tell: "wish"; readonly wish: StateWish }
  | { readonly tell: "part"; readonly name: string }
  | { readonly tell: "place"; readonly range: TextRange }
  | { readonly tell: "machine"; readonly index: number }
  | { readonly tell: "live"; readonly live: boolean }
  | { readonly tell: "section"; readonly number: number }
  | { readonly tell: "save" }
  /** The picture asked for, in base 64; undefined when it could not be made. */
  | { readonly tell: "png"; readonly data: string | undefined }
  /** A reading typed in: 0 the next one, then the others. */
  | { readonly tell: "enter"; readonly reading: number; readonly typed: string }
  | { readonly tell: "block"; readonly index: number }
  | { readonly tell: "begin" }
  /** A row of the comparison: its state is drawn, and the text moves to what it speaks of. */
  | { readonly tell: "row"; readonly index: number }
  | { readonly tell: "goto"; readonly place: TextPlace };
