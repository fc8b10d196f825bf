/** A picture in a frame that scrolls, zooms and pans. */
import { button, element } from "./dom.ts";
import { keep, kept } from "./host.ts";

const smallest = 0.2;
const largest = 4;
/** Below this the names in a picture can hardly be read. */
const readable = 0.75;

/** What a focusable element of a picture stands for; the same in the next picture. */
function keyOf(element: Element | null): string | undefined {
  if (!(element instanceof SVGElement)) return undefined;
  const { name, sections, step } = element.dataset;
  return name ?? step ?? (sections === undefined ? undefined : `${sections} ${element.getAttribute("aria-label")}`);
}

export class PictureFrame {
  readonly root = element("div", { class: "frame", tabindex: 0, "aria-label": "Picture" });
  readonly zoomButtons: HTMLElement;
  readonly #factor = element("span", { class: "factor" });
  #picture: SVGSVGElement | undefined;
  #zoom = kept().zoom ?? 1;

  constructor() {
    this.zoomButtons = element(
      "span",
      { class: "buttons" },
      button("−", "Smaller (-)", () => this.zoom(1 / 1.2)),
      this.#factor,
      button("+", "Larger (+)", () => this.zoom(1.2)),
      button("Fit", "Fit the width (0)", () => this.fit()),
    );
    this.root.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey && !event.metaKey) return;
        event.preventDefault();
        this.zoom(event.deltaY < 0 ? 1.1 : 1 / 1.1);
      },
      { passive: false },
    );
    this.#dragToPan();
  }

  /** The new picture in place of the old one; the scroll stays where it was. */
  show(picture: SVGSVGElement): void {
    const { scrollLeft, scrollTop } = this.root;
    const focused = this.root.contains(document.activeElement) ? keyOf(document.activeElement) : undefined;
    this.#picture = picture;
    this.root.replaceChildren(picture);
    this.#size();
    this.root.scrollTo(scrollLeft, scrollTop);
    // A reader's place in the picture outlives its being drawn anew.
    if (focused === undefined) return;
    const same = [...picture.querySelectorAll<SVGElement>("[tabindex]")].find((one) => keyOf(one) === focused);
    (same ?? this.root).focus({ preventScroll: true });
  }

  zoom(by: number): void {
    const before = this.#zoom;
    this.#zoom = Math.min(largest, Math.max(smallest, this.#zoom * by));
    const { scrollLeft, scrollTop, clientWidth, clientHeight } = this.root;
    this.#size();
    // What stands in the middle stays there.
    keep({ zoom: this.#zoom });
    const grown = this.#zoom / before;
    this.root.scrollTo(
      (scrollLeft + clientWidth / 2) * grown - clientWidth / 2,
      (scrollTop + clientHeight / 2) * grown - clientHeight / 2,
    );
  }

  /** At the same size as another frame. */
  match(other: PictureFrame): void {
    this.#zoom = other.#zoom;
    this.#size();
  }

  fit(): void {
    const wide = this.#picture?.viewBox.baseVal.width;
    if (wide) this.zoom((this.root.clientWidth - 4) / wide / this.#zoom);
  }

  /** How a picture is first shown: whole where that can be read, else at a size that can. */
  open(): void {
    const wide = this.#picture?.viewBox.baseVal.width;
    if (!wide || kept().zoom !== undefined) return;
    this.#zoom = Math.min(1, Math.max(readable, (this.root.clientWidth - 4) / wide));
    this.#size();
    keep({ zoom: this.#zoom });
  }

  /** True when the key was one of this frame's. */
  key(key: string): boolean {
    if (key === "+" || key === "=") this.zoom(1.2);
    else if (key === "-") this.zoom(1 / 1.2);
    else if (key === "0") this.fit();
    else return false;
    return true;
  }

  #size(): void {
    const { width, height } = this.#picture?.viewBox.baseVal ?? { width: 0, height: 0 };
    this.#picture?.setAttribute("width", String(width * this.#zoom));
    this.#picture?.setAttribute("height", String(height * this.#zoom));
    this.#factor.textContent = `${Math.round(this.#zoom * 100)} %`;
  }

  #dragToPan(): void {
    let from: { x: number; y: number; left: number; top: number } | undefined;
    this.root.addEventListener("pointerdown", ({ target, clientX, clientY, button: pressed }) => {
      if (pressed !== 0 || (target instanceof Element && target.closest("[data-name], [data-step]"))) return;
      from = { x: clientX, y: clientY, left: this.root.scrollLeft, top: this.root.scrollTop };
      this.root.classList.add("panning");
    });
    window.addEventListener("pointermove", ({ clientX, clientY }) => {
      if (from) this.root.scrollTo(from.left + from.x - clientX, from.top + from.y - clientY);
    });
    window.addEventListener("pointerup", () => {
      from = undefined;
      this.root.classList.remove("panning");
    });
  }
}
