/** The chosen state of a machine as plain data: what the views show and what a person can ask of it. Amounts are SI. */

/** What a person asks of the chosen state. Controls and positions go by their names, which outlive edits of the text. */
export type StateWish =
  /** Move one control; the machine settles as it would. */
  | { readonly wish: "move"; readonly control: string; readonly position: string }
  /** Press a button and let go of it. */
  | { readonly wish: "press"; readonly control: string }
  /** Nothing touched, cold, empty. */
  | { readonly wish: "rest" }
  /** The state that a fresh view shows: the program step, started, that energises most. */
  | { readonly wish: "default" }
  /** The positions that the names mean, for views that come back after a reload. */
  | { readonly wish: "names"; readonly positions: Readonly<Record<string, string>> }
  /** The program forward (1) or back (-1), nothing else touched. */
  | { readonly wish: "step"; readonly by: 1 | -1 };

export interface ControlReadout {
  readonly name: string;
  /** What the part is called in the text, `program timer`. */
  readonly label?: string;
  /** `touched` by a person, `moved` by heat, water or time, `follows` from the circuit. */
  readonly by: "hand" | "machine" | "circuit";
  /** `push`: springs back; `dial`: a row of steps; `switch`: anything else. */
  readonly form: "push" | "dial" | "switch";
  readonly positions: readonly { readonly name: string; readonly group?: string }[];
  readonly at: number;
  readonly rest: number;
}

export interface LoadReadout {
  readonly name: string;
  readonly label?: string;
  /** What it does when energised: `heats`, `runs`. */
  readonly verb: string;
  /** `off`: next to no volts; `weak`: too few to work; `over`: more than it is made for; `untold`: not told as a number. */
  readonly class: "off" | "weak" | "works" | "over" | "untold";
  /** Undefined where not told as a number. */
  readonly volts?: number;
  readonly amps?: number;
  readonly watts?: number;
  /** As a person reads them: `240 V`, `22.5 A`, `5.4 kW`; `not known`. */
  readonly text: string;
}

export interface ContactReadout {
  readonly name: string;
  readonly label?: string;
  readonly closed: boolean;
  readonly amps?: number;
  /** `22.5 A`, empty when it carries nothing. */
  readonly text: string;
  /** Current now as a share of the rating for what it now feeds; left out without a rating or a current. */
  readonly share?: number;
  /** `25 A 240 V`. */
  readonly limit?: string;
}

export interface ChosenState {
  readonly machine: string;
  /** Index of the machine among `machines`. */
  readonly index: number;
  /** Labels of all machines of the file. */
  readonly machines: readonly string[];
  /** Version of the document it was worked out for. */
  readonly version: number;
  /** False while the every-state analysis still runs: nothing else is filled then. */
  readonly ready: boolean;
  /** `TM in timed 1, DM running`. */
  readonly words: string;
  /** Position of every control by name: what a view keeps to ask for the same state again. */
  readonly names: Readonly<Record<string, string>>;
  /** Single changes from rest that lead here: `turn TM to timed 1`. */
  readonly path: readonly string[];
  /** Why the wish was not granted, and what would have to be so. */
  readonly refused?: string;
  /** Said beside a granted wish: other outcomes are possible, legs are tied together. */
  readonly remark?: string;
  readonly controls: readonly ControlReadout[];
  readonly loads: readonly LoadReadout[];
  readonly contacts: readonly ContactReadout[];
  readonly legs: readonly { readonly name: string; readonly text: string }[];
  readonly watts: string;
  /** The control that the program's steps belong to. */
  readonly program?: string;
}

/** A command of the client, in code actions for clients that show chosen states: shows a state on the drawing. */
export const showState = "camleaf.showState";
export interface ShowState {
  readonly uri: string;
  readonly machine: number;
  /** Positions by the names of controls; what is not named stands at rest. */
  readonly names: Readonly<Record<string, string>>;
}
