import type { DrawingLook } from "../editor/pictures.ts";
import type { GravitySettings } from "../service.ts";

export interface Settings {
  readonly findings: GravitySettings;
  /** Lines above loads and contacts. */
  readonly codeLens: boolean;
  readonly hints: (typeof hintKinds)[number];
  readonly drawing: DrawingLook;
}

const hintKinds = ["follow", "worst", "state", "off"] as const;

const gravities = ["error", "warning", "information", "hint", "off"] as const;

/** Reads the `camleaf` section of the editor's settings; anything unexpected in it is passed over. */
export function settingsOf(section: unknown): Settings {
  const findings: Record<string, (typeof gravities)[number]> = {};
  const written = isRecord(section) && isRecord(section.findings) ? section.findings : {};
  for (const [id, value] of Object.entries(written)) {
    const gravity = gravities.find((known) => known === value);
    if (gravity) findings[id] = gravity;
  }
  const hints = hintKinds.find((kind) => isRecord(section) && section.hints === kind) ?? "follow";
  const codeLens = !isRecord(section) || section.codeLens !== false;
  const look = isRecord(section) && isRecord(section.drawing) ? section.drawing : {};
  const drawing: DrawingLook = {
    symbols: look.symbols === "ieee" ? "ieee" : "iec",
    wireColours: look.wireColours !== false,
  };
  return { findings, hints, codeLens, drawing };
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}
