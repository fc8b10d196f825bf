/** The circuit drawing: live or at rest, with findings marked, parts that lead to the text, and a search for names. */
import type { ChosenState } from "../../server/base/chosen-state.ts";
import type { DrawingResult, DrawnPart } from "../../server/protocol.ts";
import { button, element, pictureFrom, svgElement } from "./dom.ts";
import { findingMark } from "./finding-mark.ts";
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
      } else if (this.#bar.key(event.key) || this.#frame.key(event.key)) event.preventDefault();
    });
  }

  showDrawing(drawing: DrawingResult, wantsLive: boolean): void {
    const picture = pictureFrom(drawing.svg);
    if (!picture) return;
    this.#parts = drawing.parts;
    this.#live.checked = wantsLive;
    this.#tools.replaceChildren(
      ...[
        machineChoice(drawing.machines, drawing.machine),
        element("label", { for: "live" }, this.#live, "chosen state"),
        this.#frame.zoomButtons,
        this.#find,
        button("Save SVG", "Save the drawing as an SVG file", () => tell({ tell: "save" })),
      ].filter((one) => one !== undefined),
    );
    for (const group of picture.querySelectorAll<SVGGElement>("[data-name]")) this.#prepare(group);
    this.#frame.show(picture);
    this.#frame.open();
    this.#mark(this.#selected, false);
    this.#listFindings();
  }

  showState(state: ChosenState): void {
    this.#bar.show(state);
  }

  select(name: string | undefined): void {
    this.#mark(name, true);
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
    group.append(svgElement("rect", { class: "hit", x: -24, y: -18, width: 48, height: 36, rx: 3 }));
    const gravest = ["error", "warning", "information", "hint"].find((gravity) =>
      found.some((finding) => finding.gravity === gravity),
    );
    if (gravest) group.append(findingMark(gravest, name));
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
  }

  #listFindings(): void {
    const seen = new Set<string>();
    const rows = this.#parts.flatMap(({ findings }) =>
      findings.flatMap(({ gravity, what, range }) => {
        if (seen.has(what)) return [];
        seen.add(what);
        const go = () => range && tell({ tell: "place", range });
        return [element("li", { class: gravity }, button(what, `${gravity}: ${what}`, go, { class: "link" }))];
      }),
    );
    this.#findings.hidden = rows.length === 0;
    const count = rows.length === 1 ? "1 finding about what is drawn" : `${rows.length} findings about what is drawn`;
    this.#findings.replaceChildren(element("summary", {}, count), element("ul", {}, ...rows));
  }
}
