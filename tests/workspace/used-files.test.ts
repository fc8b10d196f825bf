import { describe, expect, it } from "vitest";
import { addressKey, isWithin, usedAddress } from "../../server/workspace/address.ts";
import { setUp } from "./test-platform.ts";

const main = "file:///w/main.camleaf";
const parts = "file:///w/lib/parts.camleaf";

describe("files named by use", () => {
  it("are read through the editor before names are judged; errors of writing do not wait", async () => {
    const { workspace, platform, told } = setUp();
    platform.hold.add(parts);
    workspace.put(main, 1, 'use "lib/parts.camleaf" SYNTAX NAME');
    await platform.rest();
    expect(platform.reads).toEqual([parts]);
    expect(told(main)).toEqual(["1: syntax"]);
    platform.held.get(parts)?.("TEXT");
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: uses TEXT syntax name");
  });

  it("may use files in turn, also in a circle", async () => {
    const { workspace, platform, told } = setUp();
    platform.files.set(parts, 'use "more.camleaf"');
    platform.files.set("file:///w/lib/more.camleaf", 'use "parts.camleaf" use "../main.camleaf"');
    workspace.put(main, 1, 'use "lib/parts.camleaf"');
    await platform.rest();
    expect(platform.reads).toEqual([parts, "file:///w/lib/more.camleaf"]);
    expect(told(main).at(-1)).toBe('1: uses use "more.camleaf"');
  });

  it("that are missing, out of bounds or without a folder are findings at the use line", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(main, 1, 'use "no.camleaf" use "../out.camleaf" use "/etc/abs.camleaf"');
    workspace.put("untitled:Untitled-1", 1, 'use "lib/parts.camleaf"');
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: not-found outside not-relative");
    expect(told("untitled:Untitled-1").at(-1)).toBe("1: no-folder");
    expect(platform.reads).toEqual(["file:///w/no.camleaf"]); // nothing outside was touched
  });

  it("count as they stand in the editor, not as saved; a change there is seen in all that use it", async () => {
    const { workspace, platform, told } = setUp();
    platform.files.set(parts, "SAVED");
    workspace.put(parts, 1, "EDITED");
    workspace.put(main, 1, 'use "lib/parts.camleaf"');
    await platform.rest();
    expect(platform.reads).toEqual([]);
    expect(told(main).at(-1)).toBe("1: uses EDITED");
    workspace.put(parts, 2, "AGAIN");
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: uses AGAIN");
    workspace.close(parts);
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: uses SAVED");
  });

  it("are read again after a change outside the editor, and found once they appear", async () => {
    const { workspace, platform, told } = setUp();
    workspace.put(main, 1, 'use "lib/parts.camleaf"');
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: not-found");
    platform.files.set(parts, "CAME");
    workspace.filesChanged([parts]);
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: uses CAME");
    platform.files.delete(parts);
    workspace.filesChanged([parts]);
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: not-found");
  });

  it("are read once however often they are used and the text changes", async () => {
    const { workspace, platform } = setUp();
    platform.files.set(parts, "TEXT");
    for (let version = 1; version < 10; version++) {
      workspace.put(main, version, `use "lib/parts.camleaf" use "./lib/../lib/parts.camleaf" ${version}`);
      workspace.put("file:///w/other.camleaf", version, 'use "lib/parts.camleaf"');
      await platform.rest();
    }
    expect(platform.reads).toEqual([parts]);
  });

  it("that never come count as missing after a while, and are taken when they come after all", async () => {
    const { workspace, platform, told } = setUp();
    platform.hold.add(parts);
    workspace.put(main, 1, 'use "lib/parts.camleaf" NAME');
    await platform.rest();
    await platform.wait(6000);
    expect(told(main).at(-1)).toBe("1: not-found name");
    platform.held.get(parts)?.("LATE");
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: uses LATE name");
  });

  it("whose reading fails are missing, and the log says why", async () => {
    const { workspace, platform, told } = setUp();
    platform.readFile = () => Promise.reject(new Error("no permission"));
    workspace.put(main, 1, 'use "lib/parts.camleaf"');
    await platform.rest();
    expect(told(main).at(-1)).toBe("1: not-found");
    expect(platform.lines.join()).toContain("no permission");
  });
});

describe("addresses", () => {
  const found = (base: string, path: string, ...folders: string[]) => {
    const used = usedAddress(base, path, folders);
    return used.ok ? used.address : used.why;
  };

  it("work in any scheme, with its host", () => {
    expect(found("file:///w/a%20b/x.camleaf", "../lib/ü p.camleaf", "file:///w")).toBe(
      "file:///w/lib/%C3%BC%20p.camleaf",
    );
    expect(found("vscode-vfs://github/o/r/x.camleaf", "p.camleaf")).toBe("vscode-vfs://github/o/r/p.camleaf");
    expect(found("samples/x.camleaf", "parts.camleaf")).toBe("samples/parts.camleaf");
    expect(found("x.camleaf", "lib/parts.camleaf")).toBe("lib/parts.camleaf");
    expect(found("/home/t/x.camleaf", "parts.camleaf")).toBe("/home/t/parts.camleaf");
  });

  it("stay inside the workspace, or the file's own folder", () => {
    expect(found("file:///w/sub/x.camleaf", "../p.camleaf", "file:///w")).toBe("file:///w/p.camleaf");
    expect(found("file:///w/sub/x.camleaf", "../p.camleaf")).toBe("outside");
    expect(found("file:///w/x.camleaf", "../w2/p.camleaf", "file:///w")).toBe("outside");
    expect(found("x.camleaf", "../p.camleaf")).toBe("outside");
    expect(found("file:///w/x.camleaf", "../../../../etc/passwd", "file:///w")).toBe("outside");
    expect(found("file:///w/x.camleaf", "http://example.org/p", "file:///w")).toBe("not-relative");
    expect(found("file:///w/x.camleaf", "C:\\p.camleaf", "file:///w")).toBe("not-relative");
  });

  it("are one file however an editor spells them", () => {
    expect(addressKey("file:///c%3A/a/x.camleaf")).toBe(addressKey("file:///C:/a/x.camleaf"));
    expect(isWithin("file:///w/", "file:///w/x")).toBe(true);
    expect(isWithin("file:///w", "file:///wide/x")).toBe(false);
  });
});
