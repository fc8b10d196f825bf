/** A write-up as data: what stands on the page, whatever it is written in. All text is plain; who writes it out makes it harmless. */

/** A stretch of text, marked or not. */
export type Run = string | { readonly strong: string } | { readonly code: string } | { readonly emphasis: string };
export type Runs = readonly Run[];

/** How grave a line is; pages may show it. */
export type Weight = string;

export interface Item {
  readonly text: Runs;
  readonly weight?: Weight;
  /** Set small behind the text: where it stands. */
  readonly aside?: string;
  readonly photo?: { readonly address: string; readonly words: string };
}

export type Block =
  | { readonly block: "heading"; readonly text: string; readonly aside?: string }
  | { readonly block: "text"; readonly text: Runs }
  | { readonly block: "list"; readonly items: readonly Item[] }
  /** Numbered from 1. */
  | { readonly block: "steps"; readonly items: readonly Item[] }
  | { readonly block: "facts"; readonly facts: readonly { readonly name: string; readonly text: string }[] }
  | {
      readonly block: "table";
      readonly heads: readonly string[];
      readonly rows: readonly { readonly cells: readonly Runs[]; readonly weight?: Weight }[];
    }
  /** SVG of our own making, and what it is called where it cannot be seen. */
  | { readonly block: "picture"; readonly svg: string; readonly words: string }
  | { readonly block: "text of the file"; readonly text: string }
  /** The whole source with a way to save it. */
  | { readonly block: "source"; readonly fileName: string; readonly text: string };

export interface PageSection {
  readonly title: string;
  readonly blocks: readonly Block[];
}

export interface Page {
  readonly title: string;
  readonly opening: string;
  readonly sections: readonly PageSection[];
}

/** `data:` address of a text: it holds no character that ends an attribute or a comment, or means anything in Markdown. */
export function textAddress(text: string): string {
  const rest = (letter: string) => `%${letter.charCodeAt(0).toString(16).toUpperCase()}`;
  return `data:text/plain;charset=utf-8,${encodeURIComponent(text).replace(/[!'()*~_-]/g, rest)}`;
}

/** For attributes and text of HTML. */
export function escapeHtml(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");
}
