/** A stretch of text in one file: `from` inclusive, `to` exclusive, both UTF-16 offsets. */
export interface Place {
  /** Name of the file as the workspace knows it (a URI, or a path for the command line). */
  readonly file: string;
  readonly from: number;
  readonly to: number;
}

/** True when `offset` lies in the place, its end included (the caret may stand behind the last letter). */
export function placeHolds(place: Place, offset: number): boolean {
  return place.from <= offset && offset <= place.to;
}
