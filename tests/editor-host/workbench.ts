import type { BrowserContext, Frame, Locator, Page } from "playwright-core";

type ViewKind = "drawing" | "chart" | "controls" | "bench" | "compare";

/** A person's moves in the workbench, by what is on the screen. */
export class Workbench {
  readonly page: Page;

  private constructor(page: Page) {
    this.page = page;
  }

  static async open(browser: BrowserContext, address: string): Promise<Workbench> {
    const page = await browser.newPage();
    // The first start of an extension host takes its time on a busy computer.
    page.setDefaultTimeout(55_000);
    await page.goto(address);
    await page.locator(".monaco-workbench").waitFor({ timeout: 60_000 });
    return new Workbench(page);
  }

  async openFile(name: string): Promise<void> {
    // Else it opens beside the pictures once one of them has the focus.
    await this.command("View: Focus First Editor Group");
    await this.command("View: Show Explorer");
    const row = this.page.locator(".explorer-folders-view .monaco-list-row", { hasText: name });
    await row.dblclick({ timeout: 60_000 });
    await this.page.locator(`.tab.active[data-resource-name="${name}"]`).first().waitFor();
    await this.page.locator(".monaco-editor .view-line").first().waitFor();
  }

  async command(title: string): Promise<void> {
    const input = this.page.locator(".quick-input-widget input.input");
    for (let tries = 0; ; tries++) {
      await this.page.keyboard.press("F1");
      try {
        // A list that is just closing takes the key and is gone before it is filled.
        await input.waitFor({ timeout: 3000 });
        await input.fill(`>${title}`, { timeout: 3000 });
        // A list that opened twice shows what was used last instead of what was asked for.
        await this.page
          .locator(".quick-input-list .monaco-list-row", { hasText: title })
          .first()
          .waitFor({ timeout: 8000 });
        break;
      } catch (error) {
        if (tries > 4) throw error;
        await this.page.keyboard.press("Escape");
      }
    }
    await this.page.keyboard.press("Enter");
  }

  squiggles(gravity: "error" | "warning" | "info"): Locator {
    return this.page.locator(`.monaco-editor .squiggly-${gravity}`);
  }

  /** Rows of the Problems list, as one text each. */
  async problems(): Promise<Locator> {
    await this.command("View: Focus Problems");
    return this.page.locator(".markers-panel .monaco-list-row");
  }

  async goToLine(line: number, column = 1): Promise<void> {
    await this.page.keyboard.press("Control+G");
    const input = this.page.locator(".quick-input-widget input.input");
    await input.waitFor();
    await input.fill(`:${line},${column}`);
    await this.page.keyboard.press("Enter");
  }

  /** Types over a line of the open editor. */
  async replaceLine(line: number, text: string): Promise<void> {
    await this.goToLine(line);
    try {
      await this.page.locator(".monaco-editor.focused").first().waitFor({ timeout: 5000 });
    } catch {
      // A picture beside the text had the focus.
      await this.page.locator(".monaco-editor .view-line").first().click();
      await this.goToLine(line);
      await this.page.locator(".monaco-editor.focused").first().waitFor();
    }
    await this.page.keyboard.press("Home");
    await this.page.keyboard.press("Shift+End");
    await this.page.keyboard.insertText(text);
  }

  /** Takes the first mend on offer at this place whose title holds the words. */
  async quickFix(line: number, column: number, title: string): Promise<void> {
    await this.page.locator(".monaco-editor").first().click();
    await this.goToLine(line, column);
    await this.page.locator(".monaco-editor.focused").first().waitFor();
    await this.page.keyboard.press("Control+.");
    const row = this.page.locator(".action-widget .monaco-list-row.action", { hasText: title }).first();
    await row.waitFor();
    // By keyboard: the widget lies under a sheet that takes the clicks.
    for (let tries = 0; tries < 12; tries++) {
      if (await row.evaluate((element) => element.classList.contains("focused"))) break;
      await this.page.keyboard.press("ArrowDown");
    }
    await this.page.keyboard.press("Enter");
  }

  /** Rests the pointer on the first place where the word is seen, and reads the hover. */
  async hover(word: string): Promise<string> {
    const tokens = this.page.locator(".view-line span span", {
      hasText: new RegExp(`(^|[^\\w])${word}([^\\w]|$)`),
    });
    const hover = this.page.locator(".monaco-hover:not(.hidden) .hover-contents").first();
    for (let tries = 0; tries < 20; tries++) {
      // Anew each time: hints and sticky lines that arrive late move the text.
      const box = await this.#placeOfWord(tokens, word);
      if (!box) {
        await this.page.waitForTimeout(200);
        continue;
      }
      await this.page.mouse.move(box.x + (tries % 2), box.y, { steps: 3 });
      try {
        await hover.waitFor({ timeout: 1500 });
        const texts = await this.page.locator(".monaco-hover:not(.hidden) .hover-contents").allInnerTexts();
        // Hints that came between moved the text away from under the pointer when another word is told.
        const told = texts.join("\n");
        if (told.includes(word)) return told;
        await this.page.mouse.move(5, 5);
      } catch {
        await this.page.mouse.move(5, 5);
      }
    }
    throw new Error(`no hover on ${word}`);
  }

  /** The first one that nothing covers: a line may run on behind the small map of the text. */
  async #placeOfWord(tokens: Locator, word: string): Promise<{ x: number; y: number } | undefined> {
    await tokens.first().waitFor();
    for (const token of await tokens.all()) {
      const place = await this.#uncovered(token, word);
      if (place) return place;
    }
    return undefined;
  }

  async #uncovered(token: Locator, word: string): Promise<{ x: number; y: number } | undefined> {
    return token.evaluate((element, wanted) => {
      const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        const at = (node.textContent ?? "").search(new RegExp(`\\b${wanted}\\b`));
        if (at < 0) continue;
        const range = document.createRange();
        range.setStart(node, at);
        range.setEnd(node, at + wanted.length);
        const { x, y, width, height } = range.getBoundingClientRect();
        const middle = { x: x + width / 2, y: y + height / 2 };
        const shown = document.elementFromPoint(middle.x, middle.y);
        if (shown && (element.contains(shown) || shown.contains(element))) return middle;
      }
      return undefined;
    }, word);
  }

  /** Brings the tab of a picture forward. */
  async openPanel(title: string): Promise<void> {
    await this.page.locator(".tab", { hasText: title }).first().click();
    await this.page.waitForTimeout(300);
  }

  async closePanel(title: string): Promise<void> {
    const tab = this.page.locator(".tab", { hasText: title });
    await tab.hover();
    await tab.locator(".codicon-close").click();
    await tab.waitFor({ state: "detached" });
  }

  /** The page inside the view of this kind, once it is there and says the words. */
  async view(kind: ViewKind, words = ""): Promise<Frame> {
    for (let tries = 0; tries < 250; tries++) {
      for (const frame of this.page.frames()) {
        const found = await frame
          .evaluate(() => ({ kind: document.body?.dataset.view, text: document.body?.textContent ?? "" }))
          .catch(() => undefined);
        if (found?.kind === kind && found.text.includes(words)) return frame;
      }
      await this.page.waitForTimeout(100);
    }
    throw new Error(`no ${kind} on the screen`);
  }

  /** Takes the line above a place that says the words, until its view comes: lines above are drawn anew after each analysis. */
  async viewByLens(lensWords: string, kind: ViewKind, words: string): Promise<Frame> {
    const lens = this.page.locator(".codelens-decoration a", { hasText: lensWords }).first();
    for (let tries = 0; ; tries++) {
      await lens.click();
      try {
        return await this.view(kind, words);
      } catch (error) {
        if (tries > 1) throw error;
      }
    }
  }

  /** Line of the caret, from the status bar; NaN while no text has the focus. */
  async caretLine(): Promise<number> {
    const items = await this.page.locator(".statusbar-item", { hasText: /^Ln / }).allTextContents();
    return Number(/Ln (\d+)/.exec(items[0] ?? "")?.[1]);
  }

  /** Does it until the caret stands in the line: a key or click in a view that is just being drawn anew is lost. */
  async untilCaretIn(line: number, act: () => Promise<void>): Promise<void> {
    for (let tries = 0; tries < 8; tries++) {
      await act();
      for (let waited = 0; waited < 30; waited++) {
        if ((await this.caretLine()) === line) return;
        await this.page.waitForTimeout(100);
      }
    }
    throw new Error(`the caret is in line ${await this.caretLine()} instead of ${line}`);
  }

  async screenshot(path: string): Promise<void> {
    await this.page.screenshot({ path });
  }
}
