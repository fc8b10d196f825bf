import type { CancellationToken } from "vscode-languageserver";
import { LSPErrorCodes, ResponseError } from "vscode-languageserver";

/**
 * Wraps a request handler: whatever it throws is logged and answered with `otherwise`, so that one fault neither takes the server
 * down nor puts a message on the screen for each key. A request called off before its turn is not computed at all.
 */
export function guarded<Params, Result>(
  log: (line: string) => void,
  name: string,
  otherwise: Result,
  handler: (params: Params, token: CancellationToken) => Result | Promise<Result>,
): (params: Params, token: CancellationToken) => Promise<Result | ResponseError<void>> {
  return async (params, token) => {
    // Let a cancellation that waits in the same batch of messages arrive first.
    await Promise.resolve();
    if (token.isCancellationRequested) return calledOff();
    try {
      const result = await handler(params, token);
      return token.isCancellationRequested ? calledOff() : result;
    } catch (error) {
      if (error instanceof ResponseError) return error;
      log(`${name} failed: ${error instanceof Error ? error.stack : String(error)}`);
      return otherwise;
    }
  };
}

/** For notifications, which have no answer. */
export function guardedNotice<Params>(
  log: (line: string) => void,
  name: string,
  handler: (params: Params) => void,
): (params: Params) => void {
  return (params) => {
    try {
      handler(params);
    } catch (error) {
      log(`${name} failed: ${error instanceof Error ? error.stack : String(error)}`);
    }
  };
}

function calledOff(): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestCancelled, "called off");
}
