import { BrowserMessageReader, BrowserMessageWriter, createConnection } from "vscode-languageserver/browser";
import type { Platform } from "../service.ts";
import { serve } from "./server.ts";

/** Over the messages of the worker that this runs in. */
export function serveWorker(platform: Platform, worker: DedicatedWorkerGlobalScope): void {
  serve(createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker)), platform);
}
