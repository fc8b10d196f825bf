import type { Connection } from "vscode-languageserver";
import type { Service } from "../service.ts";
import type { Positions } from "./positions.ts";

export interface FeatureContext {
  readonly connection: Connection;
  readonly service: Service;
  readonly positions: Positions;
  readonly log: (line: string) => void;
}

export function registerFeatures(_context: FeatureContext): void {}
