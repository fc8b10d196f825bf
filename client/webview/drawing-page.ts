/** The circuit drawing: live or at rest, with findings marked, parts that lead to the text, and a search for names. */
import type { ChosenState } from "../../server/base/chosen-state.ts";
import type { DrawingResult, DrawnPart } from "../../server/protocol.ts";
import { button, element, pictureFrom, svgElement } from "./dom.ts";
import { keep, tell } from "./host.ts";
import { PictureFrame } from "./picture.ts";
import { machineChoice, StateBar } from "./state-bar.ts";

export class DrawingPage {
  readonly #frame = new PictureFrame();
  readonly #bar = new StateBar();
  readonly #tools = element("div", { class: "bar tools" });
  readonly #findings = element("details", { class: "findings" });
  readonly #live = element("input", { type: "checkbox", id: "live" });
  readonly #find = element("input", { type: "search", placeholder: "Find a part", "aria-label": "Find a part" });
  #parts: readonly DrawnPart[] = [];
  #sections: DrawingResult["sections"] = [];
  /** Number of the section shown, 0 for the whole. */
  #section = 0;
  #selected: string | undefined;

  constructor(body: HTMLElement) {
    this.#live.addEventListener("change", () => {
      keep({ live: this.#live.checked });
      tell({ tell: "live", live: this.#live.checked });
    });
    this.#find.addEventListener("input", () => this.#search());
    this.#find.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.#selected !== undefined && tell({ tell: "part", name: this.#selected });
      if (event.key === "Escape") this.#frame.root.focus();
      event.stopPropagation();
    });
    body.replaceChildren(this.#tools, this.#frame.root, this.#findings, this.#bar.root);
    window.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.target instanceof HTMLSelectElement) return;
      if (event.key === "/") {
        this.#find.focus();
        event.preventDefault();
      } else if (event.key === "[" || event.key === "]") {
        this.#turn(event.key === "]" ? 1 : -1);
        event.preventDefault();
      } else if (this.#bar.key(event.key) || this.#frame.key(event.key)) event.preventDefault();
    });
  }

  showDrawing(drawing: DrawingResult, wantsLive: boolean): void {
    const picture = pictureFrom(drawing.svg);
    if (!picture) return;
    this.#parts = drawing.parts;
    this.#sections = drawing.sections;
    const turned = this.#section !== (drawing.section ?? 0);
    this.#section = drawing.section ?? 0;
    this.#live.checked = wantsLive;
    this.#tools.replaceChildren(
      ...[
        machineChoice(drawing.machines, drawing.machine),
        this.#sectionChoice(),
        element("label", { for: "live" }, this.#live, "chosen state"),
        this.#frame.zoomButtons,
        this.#find,
        button("Save", "Save the drawing as SVG or PNG", () => tell({ tell: "save" })),
      ].filter((one) => one !== undefined),
    );
    for (const group of picture.querySelectorAll<SVGGElement>("[data-name]")) this.#prepare(group);
    for (const label of picture.querySelectorAll<SVGElement>("[data-sections]")) this.#leadsOn(label);
    this.#frame.show(picture);
    this.#frame.open();
    if (turned) this.#frame.root.scrollTo(0, 0);
    this.#mark(this.#selected, turned);
    this.#listFindings();
  }

  showState(state: ChosenState): void {
    this.#bar.show(state);
  }

  /** The caret stands at this part; when it has come there, the part's section is shown. */
  select(name: string | undefined, moved: boolean): void {
    this.#mark(name, true);
    if (moved) this.#turnTo(this.#parts.find((part) => part.name === name));
  }

  #turnTo(part: DrawnPart | undefined): void {
    if (part && this.#section !== 0 && part.section !== this.#section) this.#ask(part.section);
  }

  /** On to the next section or back, past the whole. */
  #turn(by: 1 | -1): void {
    const count = this.#sections.length + 1;
    if (count > 2) this.#ask((this.#section + by + count) % count);
  }

  #ask(number: number): void {
    keep({ section: number });
    tell({ tell: "section", number });
  }

  #sectionChoice(): HTMLElement | undefined {
    if (this.#sections.length < 2) return undefined;
    const select = element(
      "select",
      { "aria-label": "Section", title: "Section ([ and ] turn the sheets)" },
      ...[{ number: 0, title: "Whole machine" }, ...this.#sections].map(({ number, title }) =>
        element(
          "option",
          { value: number, selected: number === this.#section },
          number === 0 ? title : `${number} ${title}`,
        ),
      ),
    );
    select.addEventListener("change", () => this.#ask(Number(select.value)));
    return select;
  }

  /** Where a net goes on: a click or Enter turns to that sheet. */
  #leadsOn(label: SVGElement): void {
    const number = Number(label.dataset.sections?.split(" ")[0]);
    const title = this.#sections.find((section) => section.number === number)?.title;
    if (title === undefined) return;
    label.setAttribute("tabindex", "0");
    label.setAttribute("role", "link");
    label.setAttribute("aria-label", `${label.textContent}: show ${title}`);
    label.append(svgElement("title", {}, `Show section ${number}, ${title}`));
    label.addEventListener("click", () => this.#ask(number));
    label.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.#ask(number);
    });
  }

  /** Clicks, keys, a name for screen readers, and the marks of findings. */
  #prepare(group: SVGGElement): void {
    const name = group.dataset.name ?? "";
    const part = this.#parts.find((one) => one.name === name);
    const title = group.querySelector("title");
    const found = part?.findings ?? [];
    const words = [
      part?.words ?? name,
      ...(title?.textContent?.split(", ").slice(1) ?? []),
      ...found.map(({ what }) => what),
    ];
    if (title) title.textContent = words.join("\n");
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.setAttribute("aria-label", words.join(", "));
    group.append(svgElement("rect", { class: "hit", x: -24, y: -16, width: 48, height: 32, rx: 3 }));
    const go = () => {
      this.#mark(name, false);
      tell({ tell: "part", name });
    };
    group.addEventListener("click", go);
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      go();
    });
  }

  #mark(name: string | undefined, scroll: boolean): void {
    this.#selected = name;
    for (const group of this.#frame.root.querySelectorAll<SVGGElement>("[data-name]")) {
      const is = name !== undefined && group.dataset.name === name;
      group.classList.toggle("selected", is);
      if (is && scroll) group.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
  }

  #search(): void {
    const wanted = this.#find.value.trim().toLowerCase();
    const named = this.#parts.find(({ name }) => name.toLowerCase().startsWith(wanted));
    const found = named ?? this.#parts.find(({ words }) => words.toLowerCase().includes(wanted));
    this.#mark(wanted === "" ? undefined : found?.name, wanted !== "");
    if (wanted !== "") this.#turnTo(found);
  }

  #listFindings(): void {
    const all = new Map(
      this.#parts.flatMap(({ findings, section }) =>
        findings.map((finding) => [finding.number, { ...finding, section }] as const),
      ),
    );
    const rows = [...all.values()]
      .sort((a, b) => a.number - b.number)
      .map(({ number, gravity, what, range, section }) => {
        const go = () => {
          if (range) tell({ tell: "place", range });
          if (this.#section !== 0 && section !== this.#section) this.#ask(section);
        };
        return element(
          "li",
          { class: gravity, value: number },
          button(what, `${gravity}: ${what}`, go, { class: "link" }),
        );
      });
    this.#findings.hidden = rows.length === 0;
    const count = rows.length === 1 ? "1 finding about what is drawn" : `${rows.length} findings about what is drawn`;
    this.#findings.replaceChildren(element("summary", {}, count), element("ol", {}, ...rows));
  }
}
