/** The language server as a process: started by the desktop extension, or by any editor over stdio. */
import { serveProcess } from "../lsp/over-node.ts";
import { nodePlatform } from "./platform.ts";

process.on("uncaughtException", (error) => nodePlatform.log(`uncaught: ${error.stack}`));
process.on("unhandledRejection", (reason) => nodePlatform.log(`unhandled: ${String(reason)}`));
serveProcess(nodePlatform, process.argv.slice(2));
