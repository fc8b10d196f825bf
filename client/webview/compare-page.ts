/** A proposal beside its machine: what it comes to first, the changes in order of danger, then both drawings with what changed marked. */
import type { ComparedDrawing, ComparisonResult } from "../../server/protocol.ts";
import { button, element, pictureFrom, svgElement } from "./dom.ts";
import { tell } from "./host.ts";
import { PictureFrame } from "./picture.ts";

type Row = ComparisonResult["rows"][number];

const fitWords = { wrong: "mend", other: "differs", right: "fits" } as const;
/** What the signs in the drawings say. */
const signs = "+ new, \u2212 gone, \u2260 another part or plate, ~ works otherwise, band: wired elsewhere";

export class ComparePage {
  readonly #head = element("header", { class: "verdict" });
  readonly #changes = element("section", { class: "changes", "aria-label": "Changes, the most dangerous first" });
  readonly #tools = element("div", { class: "bar tools" });
  readonly #before = new PictureFrame();
  readonly #after = new PictureFrame();
  #written = "";
  readonly #places = new Map<HTMLElement, { readonly left: number; readonly top: number }>();
  readonly #titles = [element("figcaption"), element("figcaption")] as const;

  constructor(body: HTMLElement) {
    const figure = (frame: PictureFrame, title: HTMLElement, side: string) => {
      frame.root.setAttribute("aria-label", `Drawing ${side}`);
      return element("figure", { class: side }, title, frame.root);
    };
    const pair = element(
      "div",
      { class: "pair" },
      figure(this.#before, this.#titles[0], "before"),
      figure(this.#after, this.#titles[1], "after"),
    );
    body.replaceChildren(this.#head, this.#changes, this.#tools, pair);
    this.#tools.append(this.#zoomButtons(), element("span", { class: "label legend" }, signs));
    this.#scrollTogether();
    // A row leads into the text; whoever comes back from there finds the focus on it.
    let last: EventTarget | null = null;
    body.addEventListener("focusin", ({ target }) => {
      last = target;
    });
    window.addEventListener("focus", () => {
      if (document.activeElement === document.body && last instanceof HTMLElement) last.focus({ preventScroll: true });
    });
    window.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.target instanceof HTMLSelectElement) return;
      const first = this.#before.key(event.key);
      if (this.#after.key(event.key) || first) event.preventDefault();
    });
  }

  show(comparison: ComparisonResult, row: number | undefined): void {
    const { headline, machine, proposals, proposal, rows, cannot, fits, cautions, before, after } = comparison;
    const drawn = row ?? rows.findIndex(({ state }) => state !== undefined);
    // What is written stays while only another row is drawn, and with it the focus.
    const written = JSON.stringify([headline, machine, proposals, proposal, rows, cannot, fits, cautions]);
    if (written !== this.#written) this.#write(comparison);
    this.#written = written;
    for (const [index, each] of this.#changes.querySelectorAll("table.rows tbody tr").entries()) {
      each.classList.toggle("drawn", index === drawn);
      if (index === drawn) each.setAttribute("aria-current", "true");
      else each.removeAttribute("aria-current");
    }
    this.#draw(before, after, rows[drawn]?.name);
  }

  #write({ headline, machine, proposals, proposal, rows, cannot, fits, cautions }: ComparisonResult): void {
    const grave = rows.some(({ weight }) => weight === "danger") || cannot.length > 0;
    this.#head.className = `verdict ${grave ? "danger" : rows.some(({ weight }) => weight === "trouble") ? "trouble" : ""}`;
    this.#head.replaceChildren(
      choice(proposals, proposal),
      element("p", { class: "of" }, machine),
      element("p", { class: "headline", role: "status" }, headline),
    );
    this.#changes.replaceChildren(
      ...(rows.length > 0 ? [table(rows)] : []),
      ...cannot.map(({ text, place }) =>
        element(
          "p",
          { class: "why" },
          place ? button(text, text, () => tell({ tell: "goto", place }), { class: "link" }) : text,
        ),
      ),
      ...fits.flatMap(({ part, by, lines }) => [
        element("h2", {}, `Does ${by} fit in the place of ${part}?`),
        element(
          "table",
          {},
          element(
            "tbody",
            {},
            ...lines.map(({ about, text, fits: how }) =>
              element(
                "tr",
                { class: how },
                element("th", { scope: "row" }, fitWords[how]),
                element("td", {}, `${about} ${text}`),
              ),
            ),
          ),
        ),
      ]),
      element(
        "ul",
        { class: "cautions", "aria-label": "Cautions" },
        ...cautions.map((text) => element("li", {}, text)),
      ),
    );
  }

  #draw(before: ComparisonResult["before"], after: ComparisonResult["after"], name: string | undefined): void {
    const pictures = [before, after].map((each) => each && pictureFrom(each.svg));
    const pair = this.#before.root.closest<HTMLElement>(".pair")!;
    pair.hidden = pictures.some((each) => !each);
    this.#tools.hidden = pair.hidden;
    if (!before || !after || !pictures[0] || !pictures[1]) return;
    this.#titles[0].textContent = `Before: ${before.state}`;
    this.#titles[1].textContent = `After: ${after.state}`;
    prepare(pictures[0], before.parts);
    prepare(pictures[1], after.parts);
    const focused = document.hasFocus() ? this.#focusedPart() : undefined;
    this.#before.show(pictures[0]);
    this.#after.show(pictures[1]);
    this.#before.open();
    this.#after.match(this.#before);
    for (const frame of [this.#before, this.#after]) this.#select(frame, name);
    if (focused) partIn(focused.frame, focused.name)?.focus();
  }

  #focusedPart(): { readonly frame: HTMLElement; readonly name: string | undefined } | undefined {
    const at = document.activeElement?.closest<SVGGElement>("[data-name]");
    const frame = [this.#before.root, this.#after.root].find((root) => at && root.contains(at));
    return at && frame ? { frame, name: at.dataset.name } : undefined;
  }

  /** The part that the row speaks of, else what changed, comes into the middle. */
  #select({ root }: PictureFrame, name: string | undefined): void {
    const part = partIn(root, name);
    if (part) {
      part.classList.add("selected");
      part.append(svgElement("rect", { class: "hit", x: -24, y: -18, width: 48, height: 36, rx: 3 }));
    }
    const shown = part ?? root.querySelector(".marks .band") ?? root.querySelector(".marks > *");
    if (!shown) return;
    const [frame, seen] = [root.getBoundingClientRect(), shown.getBoundingClientRect()];
    root.scrollBy(
      seen.x + seen.width / 2 - frame.x - frame.width / 2,
      seen.y + seen.height / 2 - frame.y - frame.height / 2,
    );
    this.#noticePlace(root);
  }

  #zoomButtons(): HTMLElement {
    const both = (by: number) => () => {
      this.#before.zoom(by);
      this.#after.zoom(by);
    };
    return element(
      "span",
      { class: "buttons" },
      button("\u2212", "Smaller (-)", both(1 / 1.2)),
      button("+", "Larger (+)", both(1.2)),
      button("Fit", "Fit the width (0)", () => {
        this.#before.fit();
        this.#after.match(this.#before);
      }),
    );
  }

  /** Where one drawing is moved, the other one moves along. */
  #scrollTogether(): void {
    const [a, b] = [this.#before.root, this.#after.root];
    for (const [from, to] of [
      [a, b],
      [b, a],
    ] as const)
      from.addEventListener("scroll", () => {
        const last = this.#places.get(from) ?? { left: 0, top: 0 };
        const [left, top] = [from.scrollLeft - last.left, from.scrollTop - last.top];
        this.#noticePlace(from);
        if (left === 0 && top === 0) return; // it was moved along
        to.scrollBy(left, top);
        this.#noticePlace(to);
      });
  }

  #noticePlace(frame: HTMLElement): void {
    this.#places.set(frame, { left: frame.scrollLeft, top: frame.scrollTop });
  }
}

function partIn(root: HTMLElement, name: string | undefined): SVGGElement | undefined {
  return [...root.querySelectorAll<SVGGElement>("[data-name]")].find(({ dataset }) => dataset.name === name);
}

/** A press on a part goes to where it is written. */
function prepare(picture: SVGSVGElement, parts: readonly ComparedDrawing["parts"][number][]): void {
  for (const group of picture.querySelectorAll<SVGGElement>("[data-name]")) {
    const place = parts.find(({ name }) => name === group.dataset.name)?.place;
    if (!place) continue;
    const go = () => tell({ tell: "goto", place });
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.setAttribute("aria-label", group.querySelector("title")?.textContent ?? "");
    group.addEventListener("click", go);
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      go();
    });
  }
}

function table(rows: readonly Row[]): HTMLElement {
  return element(
    "table",
    { class: "rows" },
    element(
      "thead",
      {},
      element(
        "tr",
        {},
        ...["Weight", "What changes", "A state that shows it"].map((text) => element("th", { scope: "col" }, text)),
      ),
    ),
    element("tbody", {}, ...rows.map((row, index) => tableRow(row, index))),
  );
}

/** The whole row answers a click; the button in it, the keyboard. */
function tableRow({ weight, text, state, by, place }: Row, index: number): HTMLElement {
  const go = () => tell({ tell: "row", index });
  const leads = place !== undefined || state !== undefined;
  const title = `${weight}: ${text}${state === undefined ? "" : ` A state that shows it: ${state}.`}${by ? ` ${by}` : ""}`;
  const row = element(
    "tr",
    { class: weight },
    element("th", { scope: "row" }, weight),
    element(
      "td",
      {},
      leads ? button(text, title, () => {}, { class: "link" }) : text,
      by !== undefined && element("p", { class: "by" }, by),
    ),
    element("td", { class: "state" }, state ?? ""),
  );
  if (leads) row.addEventListener("click", go);
  return row;
}

function choice(proposals: readonly string[], chosen: number): HTMLElement {
  if (proposals.length < 2) return element("h2", {}, proposals[chosen] ?? "");
  const select = element(
    "select",
    { "aria-label": "Proposal" },
    ...proposals.map((label, index) => element("option", { value: index, selected: index === chosen }, label)),
  );
  select.addEventListener("change", () => tell({ tell: "block", index: Number(select.value) }));
  return select;
}
