/** The language server in a worker: started by the web extension. */
import { serveWorker } from "../lsp/over-worker.ts";
import { workerPlatform } from "./platform.ts";

declare const self: DedicatedWorkerGlobalScope;
serveWorker(workerPlatform(), self);
