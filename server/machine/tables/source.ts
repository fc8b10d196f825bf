/** How well a value of a table is known; carried along so that a reader is never told more than we know. */
export type Mark = "primary" | "secondary" | "memory" | "computed" | "common practice";

/** A value with where it comes from. */
export interface Sourced<T> {
  readonly value: T;
  readonly source: string;
  readonly mark: Mark;
}
