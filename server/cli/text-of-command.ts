/** `camleaf text-of PAGE`: the machine's text out of a write-up that somebody handed on. */
import { readFile, writeFile } from "node:fs/promises";
import type { Output } from "./check-command.ts";

/** Exit code: 0 when printed or written, 2 when the page cannot be read or is no write-up. */
export async function textOf(page: string, out: string | undefined, output: Output): Promise<number> {
  const html = await readFile(page, "utf8").catch(() => undefined);
  if (html === undefined) {
    output.complaint(`${page}: it cannot be read`);
    return 2;
  }
  const address = /<a download="[^"]*" href="data:text\/plain;charset=utf-8,([^"]*)"/.exec(html)?.[1];
  if (address === undefined) {
    output.complaint(`${page}: no text of a machine is in it; is it a write-up?`);
    return 2;
  }
  const text = decodeURIComponent(address.replaceAll("&#39;", "'").replaceAll("&amp;", "&"));
  if (out === undefined) output.line(text.replace(/\n$/, ""));
  else {
    await writeFile(out, text);
    output.line(`Written: ${out}`);
  }
  return 0;
}
