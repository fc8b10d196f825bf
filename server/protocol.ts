/** Types that the client and the server share beyond the language server protocol itself. Types and names only. */

/** The server finished both phases for a version of a document. */
export const analysisDone = "camleaf/analysisDone";
export interface AnalysisDone {
  readonly uri: string;
  readonly version: number;
  /** False when the analysis did not cover every state; `missing` says what. */
  readonly complete: boolean;
  readonly missing: readonly string[];
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
