/**
 * Addresses of files: URIs of any scheme as an editor gives them (`file:`, virtual, untitled), or plain paths on the
 * command line. Only text is handled here, no file system.
 */

/** One spelling per file: percent signs decoded, drive letters small, so that `c%3A` and `C:` are the same folder. */
export function addressKey(address: string): string {
  let key = address;
  try {
    key = decodeURIComponent(address);
  } catch {
    // A stray percent sign in a plain path: leave it as written.
  }
  return key.replace(/^(file:\/\/\/)?([A-Za-z]):/, (_, scheme: string | undefined, drive: string) => {
    return `${scheme ?? ""}${drive.toLowerCase()}:`;
  });
}

interface Split {
  /** `file://`, `vscode-vfs://host`, empty for a path. */
  readonly head: string;
  readonly path: string;
}

function split(address: string): Split | undefined {
  const uri = /^([A-Za-z][A-Za-z0-9+.-]+:\/\/[^/?#]*)(\/[^?#]*)/.exec(address);
  if (uri) return { head: uri[1] ?? "", path: uri[2] ?? "" };
  if (/^[A-Za-z][A-Za-z0-9+.-]+:/.test(address)) return undefined; // `untitled:Untitled-1` has no folder
  return { head: "", path: address };
}

/** True for an address that lies in the folder, at any depth. */
export function isWithin(folder: string, address: string): boolean {
  const key = addressKey(folder).replace(/\/+$/, "");
  return addressKey(address).startsWith(`${key}/`);
}

export type UsedAddress =
  | { readonly ok: true; readonly address: string }
  | { readonly ok: false; readonly why: "no-folder" | "outside" | "not-relative" };

/**
 * The address that `use "path"` in the file `base` means. Only relative paths, only inside the workspace: below the folder of
 * `folders` that holds the file, or, for a file opened on its own, below the file's own folder.
 */
export function usedAddress(base: string, path: string, folders: readonly string[]): UsedAddress {
  const from = split(base);
  if (!from) return { ok: false, why: "no-folder" };
  const written = path.replace(/\\/g, "/");
  if (written.startsWith("/") || /^[A-Za-z][A-Za-z0-9+.-]*:/.test(written)) return { ok: false, why: "not-relative" };
  const encode = from.head === "" ? (s: string) => s : encodeURIComponent;
  const segments = from.path.split("/").slice(0, -1);
  const ownFolder = from.head + segments.join("/");
  for (const segment of written.split("/")) {
    if (segment === "" || segment === ".") continue;
    if (segment !== "..") segments.push(encode(segment));
    else if (segments.length > (from.path.startsWith("/") ? 1 : 0)) segments.pop();
    else return { ok: false, why: "outside" };
  }
  const address = from.head + segments.join("/");
  const roots = folders.filter((folder) => isWithin(folder, base));
  if (roots.length === 0) roots.push(ownFolder);
  const inside = roots.some((root) => (root === "" ? !/^(\/|\.\.)/.test(address) : isWithin(root, address)));
  return inside ? { ok: true, address } : { ok: false, why: "outside" };
}
