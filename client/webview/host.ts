/** The page's side of the talk with the extension. */
import type { FromPage, Kept, ToPage } from "./messages.ts";

interface HostApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}
declare function acquireVsCodeApi(): HostApi;

const api = acquireVsCodeApi();

export function tell(message: FromPage): void {
  api.postMessage(message);
}

export function keep(more: Partial<Kept>): void {
  api.setState({ ...kept(), ...more });
}

export function kept(): Partial<Kept> {
  const state = api.getState();
  return typeof state === "object" && state !== null ? state : {};
}

/** Messages that arrive before the page asks for them are not lost: the extension waits for `ready`. */
export function listen(show: (message: ToPage) => void): void {
  window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => show(data));
  tell({ tell: "ready" });
}
