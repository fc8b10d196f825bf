/** The charts of the machine's timers: a click on a column turns the timer there. */
import type { ChosenState } from "../../server/base/chosen-state.ts";
import type { ChartResult } from "../../server/protocol.ts";
import { button, element, pictureFrom, svgElement } from "./dom.ts";
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
    this.#tools.replaceChildren(
      ...(choice ? [choice] : []),
      ...(this.#frames[0]
        ? [this.#frames[0].zoomButtons, button("Save", "Save the chart as SVG or PNG", () => tell({ tell: "save" }))]
        : []),
    );
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
      namesStay(frame, picture);
      return [frame.root];
    });
    const before = this.#charts.childElementCount;
    this.#charts.replaceChildren(
      ...(shown.length > 0 ? shown : [element("p", { class: "nothing" }, "This machine has no timer with a chart.")]),
    );
    for (const [index, frame] of this.#frames.slice(0, shown.length).entries()) {
      if (before === 0) frame.open();
      // The column of the chosen state stays in sight while the program is stepped.
      if (charts[index]?.at !== undefined)
        frame.root.querySelector(".column.chosen")?.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
  }

  showState(state: ChosenState): void {
    this.#bar.show(state);
  }
}

/** The names of the rows and what is said below stay in sight while the steps scroll past behind them. */
function namesStay(frame: PictureFrame, picture: SVGSVGElement): void {
  const names = [...picture.querySelectorAll<SVGTextElement>("text.name, text.title, text.note")];
  const head = svgElement("g", { class: "head" });
  picture.append(head);
  const widths = names.filter(({ classList }) => classList.contains("name")).map((name) => name.getBBox());
  const top = Math.min(...widths.map(({ y }) => y));
  const bottom = Math.max(...widths.map(({ y, height }) => y + height));
  const right = Math.max(...widths.map(({ x, width }) => x + width));
  if (widths.length > 0 && Number.isFinite(right))
    head.append(svgElement("rect", { x: 0, y: top - 2, width: right + 6, height: bottom - top + 4 }));
  head.append(...names);
  const place = () => {
    const { width } = picture.viewBox.baseVal;
    const factor = width / picture.getBoundingClientRect().width;
    head.setAttribute("transform", `translate(${frame.root.scrollLeft * factor} 0)`);
  };
  frame.root.onscroll = place;
  place();
}
