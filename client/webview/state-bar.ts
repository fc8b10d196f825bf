/** The bar under a picture: the chosen state in words, and the buttons that step the timer program and play it. */
import type { ChosenState } from "../../server/base/chosen-state.ts";
import { button, element } from "./dom.ts";
import { tell } from "./host.ts";

const playEveryMs = 1200;

export class StateBar {
  readonly root = element("div", { class: "bar state-bar" });
  readonly #words = element("p", { class: "words", role: "status" });
  readonly #why = element("p", { class: "why", role: "alert" });
  readonly #play = button("Play", "Play the timer program, a step a moment (P)", () => this.toggle());
  readonly #steps = element(
    "span",
    { class: "buttons" },
    button("Step back", "One step of the timer program back (left arrow)", () => this.step(-1)),
    button("Step on", "One step of the timer program on (right arrow)", () => this.step(1)),
    this.#play,
  );
  #timer: number | undefined;

  constructor() {
    const buttons = element(
      "span",
      { class: "buttons" },
      this.#steps,
      button("At rest", "Nothing touched, cold, empty (R)", () => tell({ tell: "wish", wish: { wish: "rest" } })),
      button("Most watts", "The program step, started, that takes most watts (D)", () =>
        tell({ tell: "wish", wish: { wish: "default" } }),
      ),
    );
    this.root.append(buttons, element("div", { class: "told" }, this.#words, this.#why));
  }

  show(state: ChosenState): void {
    this.#steps.hidden = state.program === undefined;
    const legs = state.legs.filter(({ text }) => !/^0\b/.test(text)).map(({ name, text }) => `${name} ${text}`);
    const takes = state.ready ? [`${state.watts} in all`, ...legs].join(", ") : "";
    this.#words.textContent = state.ready ? `${state.words}. ${takes}.` : "States are still being worked out.";
    this.#why.textContent = state.refused ?? state.remark ?? "";
    if (state.refused !== undefined) this.#stop();
  }

  step(by: 1 | -1): void {
    tell({ tell: "wish", wish: { wish: "step", by } });
  }

  toggle(): void {
    if (this.#timer === undefined) {
      this.#play.textContent = "Stop";
      this.#timer = window.setInterval(() => this.step(1), playEveryMs);
    } else this.#stop();
  }

  /** True when the key was one of this bar's. */
  key(key: string): boolean {
    switch (key) {
      case "ArrowRight":
        this.step(1);
        return true;
      case "ArrowLeft":
        this.step(-1);
        return true;
      case "p":
        this.toggle();
        return true;
      case "r":
        tell({ tell: "wish", wish: { wish: "rest" } });
        return true;
      case "d":
        tell({ tell: "wish", wish: { wish: "default" } });
        return true;
      default:
        return false;
    }
  }

  #stop(): void {
    window.clearInterval(this.#timer);
    this.#timer = undefined;
    this.#play.textContent = "Play";
  }
}

/** A list to choose from when the file holds several machines. */
export function machineChoice(machines: readonly string[], chosen: number): HTMLElement | undefined {
  if (machines.length < 2) return undefined;
  const select = element(
    "select",
    { "aria-label": "Machine" },
    ...machines.map((label, index) => element("option", { value: index, selected: index === chosen }, label)),
  );
  select.addEventListener("change", () => tell({ tell: "machine", index: Number(select.value) }));
  return select;
}
