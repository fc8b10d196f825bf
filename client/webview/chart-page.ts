/** The charts of the machine's timers: a click on a column turns the timer there. */
import type { ChosenState } from "../../server/base/chosen-state.ts";
import type { ChartResult } from "../../server/protocol.ts";
import { element, pictureFrom } from "./dom.ts";
import { tell } from "./host.ts";
import { PictureFrame } from "./picture.ts";
import { machineChoice, StateBar } from "./state-bar.ts";

export class ChartPage {
  readonly #bar = new StateBar();
  readonly #tools = element("div", { class: "bar tools" });
  readonly #charts = element("div", { class: "charts" });
  #frames: readonly PictureFrame[] = [];

  constructor(body: HTMLElement) {
    body.replaceChildren(this.#tools, this.#charts, this.#bar.root);
    window.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.target instanceof HTMLSelectElement) return;
      const frames = this.#frames.filter((frame) => frame.key(event.key));
      if (frames.length > 0 || this.#bar.key(event.key)) event.preventDefault();
    });
  }

  showChart({ charts, machines, machine, ready }: ChartResult): void {
    while (this.#frames.length < charts.length) this.#frames = [...this.#frames, new PictureFrame()];
    const choice = machineChoice(machines, machine);
    this.#tools.replaceChildren(...(choice ? [choice] : []), ...(this.#frames[0] ? [this.#frames[0].zoomButtons] : []));
    const shown = charts.flatMap(({ svg, control, positions }, index) => {
      const picture = pictureFrom(svg);
      if (!picture) return [];
      for (const column of picture.querySelectorAll<SVGElement>("[data-step]")) {
        const position = positions[Number(column.dataset.step)];
        if (position === undefined || !ready) continue;
        column.setAttribute("role", "button");
        column.setAttribute("aria-label", `${control} ${position}`);
        column.addEventListener("click", () => tell({ tell: "wish", wish: { wish: "move", control, position } }));
      }
      const frame = this.#frames[index]!;
      frame.show(picture);
      return [frame.root];
    });
    this.#charts.replaceChildren(
      ...(shown.length > 0 ? shown : [element("p", { class: "nothing" }, "This machine has no timer with a chart.")]),
    );
  }

  showState(state: ChosenState): void {
    this.#bar.show(state);
  }
}
