import type { CancellationToken } from "vscode-languageserver";
import { LSPErrorCodes, ResponseError } from "vscode-languageserver";

/**
 * Wraps a request handler: whatever it throws is logged and answered with `otherwise`, so that one fault neither takes the server
 * down nor puts a message on the screen for each key. A request called off before its turn is not computed at all; one that waits
 * for numbers or files is answered the moment it is called off.
 */
export function guarded<Params, Result>(
  log: (line: string) => void,
  name: string,
  otherwise: Result,
  handler: (params: Params, token: CancellationToken) => Result | Promise<Result>,
): (params: Params, token: CancellationToken) => Promise<Result | ResponseError<void>> {
  const answer = async (params: Params, token: CancellationToken) => {
    try {
      const result = await handler(params, token);
      return token.isCancellationRequested ? calledOff() : result;
    } catch (error) {
      if (error instanceof ResponseError) return error;
      log(`${name} failed: ${error instanceof Error ? error.stack : String(error)}`);
      return otherwise;
    }
  };
  return async (params, token) => {
    // Let a cancellation that waits in the same batch of messages arrive first.
    await Promise.resolve();
    if (token.isCancellationRequested) return calledOff();
    return new Promise((resolve) => {
      const listener = token.onCancellationRequested(() => resolve(calledOff()));
      void answer(params, token).then((result) => {
        listener.dispose();
        resolve(result);
      });
    });
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
