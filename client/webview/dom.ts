/** Making elements. Text always goes in as text, never as markup. */

type Attributes = Readonly<Record<string, string | number | boolean | undefined>>;
type Child = Node | string | undefined | false;

/** `element("button", {class: "x", disabled: true}, "Reset")`; `true` writes a bare attribute, `false` and undefined none. */
export function element<Tag extends keyof HTMLElementTagNameMap>(
  tag: Tag,
  attributes: Attributes = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Tag] {
  const made = document.createElement(tag);
  write(made, attributes);
  for (const child of children) if (child !== undefined && child !== false) made.append(child);
  return made;
}

export function svgElement(tag: string, attributes: Attributes = {}, text?: string): SVGElement {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  write(made, attributes);
  if (text !== undefined) made.textContent = text;
  return made;
}

function write(made: Element, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
}

/** A button that says what it does to a screen reader too. */
export function button(text: string, title: string, press: () => void, attributes: Attributes = {}): HTMLButtonElement {
  const made = element("button", { type: "button", title, "aria-label": title, ...attributes }, text);
  made.addEventListener("click", press);
  return made;
}

/** An SVG picture of the server as an element of this page; undefined when it is not well formed. */
export function pictureFrom(svg: string): SVGSVGElement | undefined {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return parsed instanceof SVGSVGElement ? document.importNode(parsed, true) : undefined;
}
