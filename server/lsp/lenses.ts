/** Code lenses: their places at once, their words when the editor shows them. */
import type { CodeLens, CodeLensParams } from "vscode-languageserver";
import { type LensSubject, lenses, lensText, proposalLens } from "../editor/lenses.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

interface LensData {
  readonly uri: string;
  readonly about: LensSubject;
}

export function registerLenses({ connection, service, positions, log, told }: FeatureContext): void {
  connection.onCodeLens(
    guarded<CodeLensParams, CodeLens[] | null>(log, "lenses", null, ({ textDocument: { uri } }) => {
      if (!told.codeLens) return [];
      const all = service.atOnce(uri, (snapshot) =>
        lenses(snapshot).map((lens): CodeLens => {
          const data: LensData = { uri, about: lens.about };
          return { range: positions.range(snapshot.text, lens), data };
        }),
      );
      return all ?? null;
    }),
  );

  connection.onCodeLensResolve((lens, token) =>
    guarded<CodeLens, CodeLens>(log, "a lens", { range: lens.range, command: line("") }, async ({ range }) => {
      const data: unknown = lens.data;
      if (!isLensData(data)) return { range, command: line("") };
      const { uri, about } = data;
      if (about.kind === "proposal") {
        const snapshot = await service.analysed(uri);
        const title = (snapshot && proposalLens(snapshot, about.name)) ?? "";
        return { range, command: told.compares ? compares(title, uri, range.start.line) : line(title) };
      }
      const text = await service.withNumbers(uri, (snapshot) => lensText(snapshot, about) ?? waiting);
      return { range, command: line(text ?? "") };
    })(lens, token),
  );
}

const waiting = "every state is being worked out";

/** Without a command behind it: editors show the words and nothing to press. */
const line = (title: string) => ({ title, command: "" });

/** With the client's own command that shows the proposal in this line beside its machine. */
const compares = (title: string, uri: string, at: number) => ({
  title,
  command: "camleaf.compareProposal",
  arguments: [uri, at],
});

function isLensData(data: unknown): data is LensData {
  return typeof data === "object" && data !== null && "uri" in data && typeof data.uri === "string" && "about" in data;
}
