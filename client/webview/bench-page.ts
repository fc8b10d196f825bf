/** The bench: the next reading and a place to enter it, then the suspects, then the drawing with them marked. */
import type { ReportedReading, ReportedSuspect } from "../../server/base/bench.ts";
import type { BenchResult } from "../../server/protocol.ts";
import { button, element, pictureFrom } from "./dom.ts";
import { tell } from "./host.ts";

export class BenchPage {
  readonly #head = element("div", { class: "bar tools" });
  readonly #next = element("section", { class: "next", "aria-label": "Next reading" });
  readonly #suspects = element("section", { "aria-label": "Suspects" });
  readonly #observed = element("section", { "aria-label": "Observed" });
  readonly #picture = element("section", { class: "suspects-drawn", "aria-label": "Circuit" });
  readonly #refused = element("p", { class: "why", role: "alert" });

  constructor(body: HTMLElement) {
    body.replaceChildren(this.#head, this.#next, this.#suspects, this.#observed, this.#picture);
  }

  show({ blocks, block, report, drawing }: BenchResult): void {
    this.#refused.textContent = "";
    if (!report) {
      this.#head.replaceChildren();
      for (const section of [this.#suspects, this.#observed, this.#picture]) section.replaceChildren();
      this.#next.replaceChildren(
        element("h2", {}, "No findings are written yet"),
        element(
          "p",
          {},
          "Write down how the machine stood and what it did; the readings worth taking follow from that.",
        ),
        button("Begin Findings", "Write a findings block about the chosen state", () => tell({ tell: "begin" })),
      );
      return;
    }
    this.#head.replaceChildren(blockChoice(blocks, block ?? 0, `${report.machine}: ${report.label}`));
    this.#next.replaceChildren(
      ...(report.next
        ? [
            element("h2", {}, `${report.decided ? "To confirm it" : "Next"}: ${report.next.title}`),
            this.#entry(report.next, 0),
          ]
        : [element("h2", {}, report.suspects.length > 0 ? "No further reading would tell more" : "Nothing to read")]),
      element("p", {}, report.conclusion),
      ...(report.others.length > 0
        ? [
            element(
              "details",
              {},
              element("summary", {}, "Another reading instead"),
              ...report.others.flatMap((reading, i) => [element("h3", {}, reading.title), this.#entry(reading, i + 1)]),
            ),
          ]
        : []),
    );
    this.#suspects.replaceChildren(
      element("h2", {}, "Suspects"),
      element("ol", { class: "suspects" }, ...report.suspects.map(suspectItem)),
    );
    this.#observed.replaceChildren(
      element("h2", {}, "Observed"),
      element(
        "table",
        {},
        element(
          "tbody",
          {},
          ...report.observations.map(({ text, verdict, expected }) =>
            element(
              "tr",
              { class: verdict },
              element("td", {}, text),
              element(
                "td",
                {},
                verdict === "agrees"
                  ? "as in a sound machine"
                  : verdict === "disagrees"
                    ? `sound: ${expected}`
                    : `tells nothing (${expected})`,
              ),
            ),
          ),
        ),
      ),
    );
    this.#draw(drawing, report.suspects);
  }

  refuse(words: string): void {
    this.#refused.textContent = words;
  }

  #entry(reading: ReportedReading, index: number): HTMLElement {
    const id = `reading-${index}`;
    const typed = element("input", {
      id,
      type: "text",
      autocomplete: "off",
      placeholder: reading.unit === "ohm" ? "10.6 or open" : reading.unit === "" ? reading.words.join(", ") : "118",
      "aria-label": `What it shows: ${reading.title}`,
    });
    const send = (text: string) => tell({ tell: "enter", reading: index, typed: text });
    const form = element(
      "form",
      { class: "entry" },
      ...(reading.words.length > 0
        ? reading.words.map((word) => button(word, `Write down: ${reading.before}${word}`, () => send(word)))
        : [
            typed,
            element("label", { for: id }, reading.unit),
            element("button", { type: "submit", class: "main" }, "Write It Down"),
          ]),
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      send(typed.value);
    });
    return element(
      "div",
      {},
      element("ol", { class: "steps" }, ...reading.steps.map((step) => element("li", {}, step))),
      form,
      ...(index === 0 ? [this.#refused] : []),
      element("p", {}, "It will show:"),
      element("ul", { class: "outcomes" }, ...reading.outcomes.map((outcome) => element("li", {}, outcome))),
    );
  }

  #draw(drawing: BenchResult["drawing"], suspects: readonly ReportedSuspect[]): void {
    const picture = drawing && pictureFrom(drawing.svg);
    this.#picture.replaceChildren();
    if (!picture) return;
    const marked = new Map(
      suspects.flatMap(({ names, odds }, rank) => names.map((name) => [name, { odds, rank }] as const)).reverse(),
    );
    for (const group of picture.querySelectorAll<SVGGElement>("[data-name]")) {
      const name = group.dataset.name ?? "";
      const mark = marked.get(name);
      if (!mark) continue;
      group.classList.add("suspect", ...(mark.rank === 0 ? ["first"] : []));
      group.setAttribute("aria-label", `${name}, suspect, ${mark.odds}`);
      group.addEventListener("click", () => tell({ tell: "part", name }));
    }
    this.#picture.replaceChildren(element("h2", {}, "Where they are, in a sound machine that stands so"), picture);
  }
}

function suspectItem({ odds, words, because, supports, contradicts }: ReportedSuspect): HTMLElement {
  return element(
    "li",
    {},
    element("strong", {}, words),
    ` ${odds}`,
    because !== undefined && element("p", {}, `Likelier, because ${because}.`),
    supports.length > 0 && element("p", {}, `For it: ${supports.join("; ")}.`),
    contradicts.length > 0 && element("p", { class: "why" }, `Against it: ${contradicts.join("; ")}.`),
  );
}

function blockChoice(blocks: readonly string[], chosen: number, title: string): HTMLElement {
  if (blocks.length < 2) return element("h2", {}, title);
  const select = element(
    "select",
    { "aria-label": "Findings" },
    ...blocks.map((label, index) => element("option", { value: index, selected: index === chosen }, label)),
  );
  select.addEventListener("change", () => tell({ tell: "block", index: Number(select.value) }));
  return select;
}
