/** Text in pictures: escaped, measured, and never markup. */

const escapes: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

export function escapeText(text: string): string {
  let escaped = "";
  for (const letter of text) {
    const code = letter.codePointAt(0)!;
    // Control characters and lone surrogates are not allowed in XML at all.
    const allowed =
      (code >= 0x20 && (code < 0xd800 || code > 0xdfff) && code !== 0xfffe && code !== 0xffff) ||
      code === 9 ||
      code === 10;
    escaped += allowed ? (escapes[letter] ?? letter) : "\ufffd";
  }
  return escaped;
}

/** Width in px at 11 px, on the large side for common sans-serif fonts. */
export function textWidth(text: string): number {
  let width = 0;
  for (const letter of text) width += letter > "\u02ff" ? 12 : /[mwMW@%]/.test(letter) ? 10 : 6.9;
  return width;
}

/** Two decimals are more than a screen shows, and print the same everywhere. */
export function px(value: number): string {
  return String(Math.round(value * 100) / 100);
}
