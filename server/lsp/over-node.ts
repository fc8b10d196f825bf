import { createConnection, ProposedFeatures } from "vscode-languageserver/node";
import type { Platform } from "../service.ts";
import { serve } from "./server.ts";

/** Over the channel that the arguments name (`--node-ipc`, `--stdio`, `--socket=N`, `--pipe=NAME`); stdio when none is named. */
export function serveProcess(platform: Platform, args: readonly string[]): void {
  const named = args.some((arg) => /^--(node-ipc|stdio|socket|pipe)/.test(arg));
  serve(
    named
      ? createConnection(ProposedFeatures.all)
      : createConnection(ProposedFeatures.all, process.stdin, process.stdout),
    platform,
  );
}
