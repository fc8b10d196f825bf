/** The machine's own controls as a person touches them, and what every load and contact then gets. */
import type { ChosenState, ControlReadout } from "../../server/base/chosen-state.ts";
import { button, element } from "./dom.ts";
import { tell } from "./host.ts";
import { machineChoice, StateBar } from "./state-bar.ts";

const kinds: readonly { readonly by: ControlReadout["by"]; readonly heading: string }[] = [
  { by: "hand", heading: "What you touch" },
  { by: "machine", heading: "What heat, water and time do" },
  { by: "circuit", heading: "What follows from the circuit" },
];

export class ControlsPage {
  readonly #bar = new StateBar();
  readonly #tools = element("div", { class: "tools" });
  readonly #controls = element("div", { class: "controls" });
  readonly #loads = element("section", { "aria-label": "Loads" });
  readonly #contacts = element("section", { "aria-label": "Contacts" });
  /** Which control had the focus, so that it keeps it when the list is made anew. */
  #focused: string | undefined;

  constructor(body: HTMLElement) {
    body.replaceChildren(this.#tools, this.#bar.root, this.#controls, this.#loads, this.#contacts);
    body.addEventListener("focusin", ({ target }) => {
      this.#focused = target instanceof HTMLElement ? target.dataset.control : undefined;
    });
    window.addEventListener("keydown", (event) => {
      const typed = event.target instanceof HTMLSelectElement || event.target instanceof HTMLInputElement;
      if (typed || event.ctrlKey || event.metaKey || event.altKey) return;
      if (this.#bar.key(event.key)) event.preventDefault();
    });
  }

  showState(state: ChosenState): void {
    const focused = this.#focused;
    const choice = machineChoice(state.machines, state.index);
    this.#tools.replaceChildren(...(choice ? [choice] : [element("h2", {}, state.machine)]));
    this.#bar.show(state);
    this.#controls.replaceChildren(
      ...kinds.flatMap(({ by, heading }) => {
        const of = state.controls.filter((control) => control.by === by);
        return of.length === 0
          ? []
          : [element("h3", {}, heading), element("div", { class: "grid" }, ...of.flatMap(row))];
      }),
    );
    this.#loads.replaceChildren(...loadRows(state));
    this.#contacts.replaceChildren(...contactRows(state));
    if (focused !== undefined)
      [...this.#controls.querySelectorAll<HTMLElement>("[data-control]")]
        .find((one) => one.dataset.control === focused)
        ?.focus();
  }
}

/** Name and control, for a grid of two columns. */
function row(control: ControlReadout): HTMLElement[] {
  const { name, label, positions, at, rest, by, form } = control;
  const id = `control-${name}`;
  const title = label === undefined ? name : `${name}, ${label}`;
  const head = element(
    "label",
    { for: id, title, class: at === rest ? "" : "moved" },
    name,
    label !== undefined && element("span", { class: "label" }, ` ${label}`),
  );
  if (by === "circuit") return [head, element("output", { id }, positions[at]?.name ?? "")];
  const select = element(
    "select",
    { id, title, "data-control": name },
    ...positions.map((position, index) =>
      element("option", { value: position.name, selected: index === at }, position.name),
    ),
  );
  select.addEventListener("change", () => {
    const position = select.value;
    // Shown again as the server says it stands.
    select.value = positions[at]?.name ?? "";
    tell({ tell: "wish", wish: { wish: "move", control: name, position } });
  });
  if (form === "dial") {
    const turn = (by: number) => {
      const to = positions[(at + by + positions.length) % positions.length];
      if (to) tell({ tell: "wish", wish: { wish: "move", control: name, position: to.name } });
    };
    const back = button("‹", `Turn ${name} one step back`, () => turn(-1), { "data-control": `${name} back` });
    const on = button("›", `Turn ${name} one step on`, () => turn(1), { "data-control": `${name} on` });
    return [head, element("span", { class: "buttons" }, back, select, on)];
  }
  if (form !== "push") return [head, select];
  const press = button(
    "Press",
    `Press ${name} and let go`,
    () => tell({ tell: "wish", wish: { wish: "press", control: name } }),
    {
      "data-control": `${name} press`,
    },
  );
  if (positions.length !== 2) return [head, element("span", { class: "buttons" }, press, select)];
  const held = at !== rest;
  const other = positions[held ? rest : 1 - rest]?.name ?? "";
  const hold = button(
    held ? "Let go" : "Hold",
    held ? `Let go of ${name}` : `Hold ${name} ${other}`,
    () => tell({ tell: "wish", wish: { wish: "move", control: name, position: other } }),
    { "data-control": `${name} hold`, "aria-pressed": held ? "true" : "false" },
  );
  return [head, element("span", { class: "buttons" }, press, hold)];
}

function loadRows({ loads, ready }: ChosenState): HTMLElement[] {
  if (!ready || loads.length === 0) return [];
  const rows = loads.map(({ name, label, class: found, verb, text }) => {
    const now = { off: "off", weak: "too weak", works: verb, over: `${verb}, over its volts`, untold: "" }[found];
    return element(
      "tr",
      { class: found, title: label },
      element("th", { scope: "row" }, name),
      element("td", {}, now),
      element("td", {}, text),
    );
  });
  return [element("h3", {}, "Loads"), element("table", {}, element("tbody", {}, ...rows))];
}

function contactRows({ contacts, ready }: ChosenState): HTMLElement[] {
  if (!ready || contacts.length === 0) return [];
  const rows = contacts.map(({ name, label, closed, text, share, limit }) => {
    const bar = share === undefined ? undefined : shareBar(share, limit ?? "");
    return element(
      "tr",
      { class: text === "" ? "off" : "works", title: label },
      element("th", { scope: "row" }, name),
      element("td", { class: closed ? "shut" : "open" }, closed ? "closed" : "open"),
      element("td", {}, text),
      element("td", {}, bar),
    );
  });
  return [element("h3", {}, "Contacts"), element("table", {}, element("tbody", {}, ...rows))];
}

function shareBar(share: number, limit: string): HTMLElement {
  const percent = Math.round(share * 100);
  const words = `${percent} % of ${limit}`;
  const meter = element("meter", {
    min: 0,
    max: 1,
    high: 0.999,
    value: Math.min(1, share),
    title: words,
    "aria-label": words,
  });
  return element("span", { class: share > 1 ? "share over" : "share", title: words }, meter, ` ${percent} %`);
}
