/** `camleaf text-of PAGE`: the machine's text out of a write-up that somebody handed on. */
import { readFile, writeFile } from "node:fs/promises";
import type { Output } from "./check-command.ts";

/** Exit code: 0 when printed or written, 2 when the page cannot be read or is no write-up. */
export async function textOf(page: string, out: string | undefined, output: Output): Promise<number> {
  const written = await readFile(page, "utf8").catch(() => undefined);
  if (written === undefined) {
    output.complaint(`${page}: it cannot be read`);
    return 2;
  }
  const address = addressIn(written);
  if (address === undefined) {
    output.complaint(`${page}: no text of a machine is in it; is it a write-up?`);
    return 2;
  }
  const text = decodeURIComponent(address);
  if (out === undefined) output.line(text.replace(/\n$/, ""));
  else {
    await writeFile(out, text);
    output.line(`Written: ${out}`);
  }
  return 0;
}

/** The encoded text: of the link in a page, or of the comment that ends one in Markdown. */
function addressIn(written: string): string | undefined {
  return (
    /<a download="[^"]*" href="data:text\/plain;charset=utf-8,([^"]*)"/.exec(written)?.[1] ??
    /\n<!-- data:text\/plain;charset=utf-8,([^ ]*) -->\n$/.exec(written)?.[1]
  );
}
