/** Types that the client and the server share beyond the language server protocol itself. Types and names only. */
import type { BenchReport } from "./base/bench.ts";
import type { ChosenState, StateWish } from "./base/chosen-state.ts";

/** The server finished both phases for a version of a document. */
export const analysisDone = "camleaf/analysisDone";
export interface AnalysisDone {
  readonly uri: string;
  readonly version: number;
  /** False when the analysis did not cover every state; `missing` says what. */
  readonly complete: boolean;
  readonly missing: readonly string[];
  /** What was looked at besides the machine as it is: `the neutral lost`, `faults to the case`. */
  readonly looked: readonly string[];
  /** Milliseconds from the edit to this message. */
  readonly milliseconds: number;
}

/** Server to client: texts that a `use` names, read through the editor's file system (works in a worker too). */
export const readFile = "camleaf/readFile";
export interface ReadFileParams {
  readonly uri: string;
}
export interface ReadFileResult {
  /** Undefined when the file is missing or cannot be read. */
  readonly text?: string;
}

/** Server to client, when offered by `findFiles: true` in the initialization options: the `.camleaf` files of all folders. */
export const findFiles = "camleaf/findFiles";
export interface FindFilesParams {
  /** The folder to look through, at any depth. */
  readonly folder: string;
}
export interface FindFilesResult {
  readonly uris: readonly string[];
}

/** Where something stands in a text, in the protocol's own measure. */
export interface TextRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** Which machine of a document: by index, else the one around `at`, else the first. */
export interface MachineParams {
  readonly uri: string;
  readonly machine?: number;
  readonly at?: { readonly line: number; readonly character: number };
}

/**
 * Client to server: the state that hints, hovers and views speak of, after `wish` when there is one. Null when the document is
 * not open or holds no machine.
 */
export const chosenState = "camleaf/chosenState";
export interface ChosenStateParams extends MachineParams {
  readonly wish?: StateWish;
}
export type ChosenStateResult = ChosenState | null;

/** Server to client, when asked for by `chosenState: true` in the initialization options: a wish has changed the state. */
export const chosenStateChanged = "camleaf/chosenStateChanged";
export interface ChosenStateChanged {
  readonly uri: string;
  readonly machine: number;
}

/** Client to server: the circuit drawing, at rest or in the chosen state. */
export const drawing = "camleaf/drawing";
export interface DrawingParams extends MachineParams {
  readonly live: boolean;
  /** Number of the section to draw, from 1; 0 for the whole machine; left out: the whole unless it is big. */
  readonly section?: number;
  /** For a file of its own: the findings' words stand below the drawing. */
  readonly alone?: boolean;
}
export interface DrawnPart {
  /** As the drawing names it in `data-name`. */
  readonly name: string;
  /** Its part's name and what it is, for search and screen readers. */
  readonly words: string;
  /** Where its name is declared; left out when that is in another file. */
  readonly range?: TextRange;
  /** Where all that is written of it stands. */
  readonly whole?: TextRange;
  /** Number of the section that it is drawn in. */
  readonly section: number;
  readonly findings: readonly {
    /** As the drawing marks it. */
    readonly number: number;
    readonly gravity: string;
    readonly what: string;
    readonly range?: TextRange;
  }[];
}
export interface DrawingResult {
  readonly machine: number;
  readonly machines: readonly string[];
  readonly version: number;
  /** False: states are still worked out, the drawing shows the machine at rest. */
  readonly live: boolean;
  /** Well-formed SVG without a style element; text of the file is escaped. */
  readonly svg: string;
  /** The rules that the page brings for it. */
  readonly style: string;
  readonly parts: readonly DrawnPart[];
  /** The whole on one sheet is too high to be read at a glance. */
  readonly big: boolean;
  readonly sections: readonly { readonly number: number; readonly title: string }[];
  /** The one drawn; left out for the whole machine. */
  readonly section?: number;
}

/** Client to server: the charts of the machine's timers. */
export const chart = "camleaf/chart";
export interface ChartResult {
  readonly machine: number;
  readonly machines: readonly string[];
  readonly version: number;
  readonly ready: boolean;
  readonly style: string;
  readonly charts: readonly {
    /** The control that a click on a column moves, and the position that each column stands for. */
    readonly control: string;
    readonly positions: readonly string[];
    /** Column of the chosen state. */
    readonly at?: number;
    readonly svg: string;
  }[];
}

/** Client to server: the machine's write-up as one page, in both forms. */
export const writeUp = "camleaf/writeUp";
export interface WriteUpParams extends MachineParams {
  /** Photos that notes name, as `data:` addresses by the path as written. */
  readonly photos?: Readonly<Record<string, string>>;
}
export interface WriteUpResult {
  /** `larkfield-d5.html`. */
  readonly fileName: string;
  readonly html: string;
  readonly markdown: string;
  /** Paths of photos that notes name and that were not given. */
  readonly photos: readonly string[];
}

/** Client to server: what the findings of a block come to. Null when the document is not open or holds neither machine nor findings. */
export const bench = "camleaf/bench";
export interface BenchParams {
  readonly uri: string;
  /** Index among the findings blocks of the file; left out: the one around `at`, else the last. */
  readonly block?: number;
  readonly at?: TextRange["start"];
}
export interface BenchResult {
  readonly version: number;
  /** Labels of all findings blocks; empty when none is written yet. */
  readonly blocks: readonly string[];
  readonly block?: number;
  readonly report?: BenchReport;
  /** The circuit as a sound machine stands there; SVG without a style element, and its rules. */
  readonly drawing?: { readonly svg: string; readonly style: string };
  readonly range?: TextRange;
  /** Where the line of each reading goes: the next one first, then the others. */
  readonly inserts?: readonly { readonly at: TextRange["start"]; readonly indent: string }[];
  /** A block to begin with, where none is written. */
  readonly start?: { readonly at: TextRange["start"]; readonly text: string };
}

/** Client to server: a proposal beside its machine. Null when the document is not open or holds no proposal for a machine. */
export const comparison = "camleaf/comparison";
export interface ComparisonParams {
  readonly uri: string;
  /** Index among the proposals of the file; left out: the one around `at`, else the first. */
  readonly proposal?: number;
  readonly at?: TextRange["start"];
  /** Index of the row whose state is drawn. */
  readonly row?: number;
}
export interface TextPlace {
  readonly uri: string;
  readonly range: TextRange;
}
export interface ComparedDrawing {
  readonly svg: string;
  readonly state: string;
  /** Where what the drawing names stands in the text. */
  readonly parts: readonly { readonly name: string; readonly place?: TextPlace }[];
}
export interface ComparisonResult {
  readonly version: number;
  readonly proposals: readonly string[];
  readonly proposal: number;
  readonly machine: string;
  readonly headline: string;
  /** In order of danger. */
  readonly rows: readonly {
    readonly weight: "danger" | "trouble" | "change";
    readonly text: string;
    /** A state that shows it. */
    readonly state?: string;
    /** The edits that bring it, in words. */
    readonly by?: string;
    /** The edit that brings it, else what it speaks of. */
    readonly place?: TextPlace;
    /** The contact or load that it speaks of, as the drawings name it in `data-name`. */
    readonly name?: string;
  }[];
  /** Why the proposal cannot be carried out; then there are neither rows nor pictures. */
  readonly cannot: readonly { readonly text: string; readonly place?: TextPlace }[];
  /** How each replaced part fits. */
  readonly fits: readonly {
    readonly part: string;
    readonly by: string;
    readonly lines: readonly {
      readonly about: string;
      readonly text: string;
      readonly fits: "wrong" | "other" | "right";
    }[];
  }[];
  readonly cautions: readonly string[];
  /** SVG without a style element, its rules, and the states drawn in words. */
  readonly style: string;
  readonly before?: ComparedDrawing;
  readonly after?: ComparedDrawing;
}

/** Client to server: what a meter reads between the two points named in a stretch of text, or in `points`; live in the chosen state. */
export const readings = "camleaf/readings";
export interface ReadingsParams {
  readonly uri: string;
  readonly range: TextRange;
  readonly points?: string;
}
export interface ReadingsResult {
  readonly a: string;
  readonly b: string;
  readonly lines: readonly { readonly name: string; readonly text: string }[];
}

/** Client to server: the expectations written in a document, with `judge` also what became of each over every state. */
export const expectations = "camleaf/expectations";
export interface ExpectationsParams {
  readonly uri: string;
  readonly judge: boolean;
}
export interface ExpectationsResult {
  readonly version: number;
  readonly machines: readonly string[];
  readonly expectations: readonly {
    /** Index of its machine. */
    readonly machine: number;
    /** Its words, and which of several alike: stays while other lines are edited. */
    readonly id: string;
    /** `HT off when DOOR open`. */
    readonly words: string;
    readonly range: TextRange;
    readonly judged?: {
      readonly proof: "holds" | "refuted" | "empty" | "not-covered" | "unclear";
      readonly words: string;
      /** A state that shows it; `names` can be wished for as the chosen state. */
      readonly state?: string;
      readonly steps?: readonly string[];
      readonly names?: Readonly<Record<string, string>>;
    };
  }[];
}
