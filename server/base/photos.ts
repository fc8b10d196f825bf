/** Photos that notes name: which may go into a write-up. */

const kinds: Readonly<Record<string, string>> = {
  jpg: "image/jpeg",
  jpeg: "image/jpeg",
  png: "image/png",
  gif: "image/gif",
  webp: "image/webp",
};

/**
 * The media type of a photo in the text's own folder or below, by its path as written; undefined for anything else. A text may come from
 * a stranger and the page is handed on: it must not carry a picture from elsewhere on the disk along.
 */
export function photoKind(path: string): string | undefined {
  const steps = path.split(/[/\\]/);
  let depth = 0;
  for (const step of steps.slice(0, -1)) {
    depth += step === ".." ? -1 : step === "." || step === "" ? 0 : 1;
    if (depth < 0) return undefined;
  }
  if (/^[/\\]|^[a-z][a-z\d+.-]*:/i.test(path)) return undefined;
  return kinds[/\.([^.]*)$/.exec(steps.at(-1)!)?.[1]?.toLowerCase() ?? ""];
}

/** A picture as an address that needs no file. */
export function photoAddress(kind: string, bytes: Uint8Array): string {
  let letters = "";
  // In pieces: a photo has more bytes than a call has room for.
  for (let at = 0; at < bytes.length; at += 0x2000) letters += String.fromCharCode(...bytes.subarray(at, at + 0x2000));
  return `data:${kind};base64,${btoa(letters)}`;
}
