/** Wire colours: the letters of IEC 60757, and the shorter ones that North American wiring sheets print. */
export interface Colour {
  /** Letters of IEC 60757, printed everywhere. */
  readonly code: string;
  readonly name: string;
  /** Letters of North American sheets (common practice, no published source) and the plain word. */
  readonly also: readonly string[];
}

export const colours: readonly Colour[] = [
  { code: "BK", name: "black", also: ["B", "BLK", "black"] },
  { code: "BN", name: "brown", also: ["BR", "BRN", "brown"] },
  { code: "RD", name: "red", also: ["R", "RED", "red"] },
  { code: "OG", name: "orange", also: ["O", "OR", "ORN", "orange"] },
  { code: "YE", name: "yellow", also: ["Y", "YL", "YEL", "yellow"] },
  { code: "GN", name: "green", also: ["G", "GRN", "green"] },
  { code: "BU", name: "blue", also: ["BL", "BLU", "blue"] },
  { code: "VT", name: "violet", also: ["V", "P", "PUR", "violet", "purple"] },
  { code: "GY", name: "grey", also: ["GRY", "grey", "gray"] },
  { code: "WH", name: "white", also: ["W", "WHT", "white"] },
  { code: "PK", name: "pink", also: ["PNK", "pink"] },
  { code: "TQ", name: "turquoise", also: ["turquoise"] },
  { code: "TN", name: "tan", also: ["T", "TAN", "tan"] },
  { code: "GD", name: "gold", also: ["gold"] },
  { code: "SR", name: "silver", also: ["silver"] },
];

const codes = new Map<string, string>();
for (const colour of colours) for (const letters of [colour.code, ...colour.also]) codes.set(letters, colour.code);

/** `bk`, `Black`: of two letters or more, and not `or`, which joins. */
function inOtherCase(text: string): string | undefined {
  if (text.length < 2 || text === "or") return undefined;
  return codes.get(text.toUpperCase()) ?? codes.get(text.toLowerCase());
}

/**
 * The IEC letters of one colour or of a colour with tracer: `BK` for `B`, `WH/BK` for `W/BK`, `GN/YE` for `GNYE`.
 * Undefined when the text is no colour.
 */
export function colourCode(text: string): string | undefined {
  const single = codes.get(text) ?? inOtherCase(text);
  if (single) return single;
  const stroke = text.split(/[/-]/);
  const halves = stroke.length === 2 ? stroke : text.length === 4 ? [text.slice(0, 2), text.slice(2)] : [];
  const [body, tracer] = halves.map((half) => codes.get(half) ?? inOtherCase(half));
  return body && tracer ? `${body}/${tracer}` : undefined;
}
