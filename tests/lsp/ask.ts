/**
 * Everything an editor can ask about a document, as far as the server offers it. A capability without a request here is an error, so
 * that the tests that stand on this (messages.test.ts, random-edits.test.ts) keep up with what the server learns.
 */
import type {
  CallHierarchyItem,
  CodeAction,
  CodeLens,
  CompletionItem,
  CompletionList,
  DocumentLink,
  InitializeResult,
  InlayHint,
  Position,
  SemanticTokens,
  ServerCapabilities,
  WorkspaceSymbol,
} from "vscode-languageserver-protocol";

export type Request = (method: string, params: object) => Promise<unknown>;

/** Answers by method; an error counts as an answer: `{ error: message }`. */
export type Answers = Record<string, unknown>;

interface Question {
  readonly request: Request;
  readonly capabilities: ServerCapabilities;
  readonly uri: string;
  readonly text: string;
  readonly offset: number;
}

type Ask = (question: Question, add: (method: string, params: object) => Promise<unknown>) => Promise<unknown>;

/** What follows from each capability that answers requests; `undefined` for those that concern notifications only. */
const kinds: Record<string, Ask | undefined> = {
  positionEncoding: undefined,
  textDocumentSync: undefined,
  workspace: undefined,
  experimental: undefined,
  executeCommandProvider: undefined, // the commands change nothing that is asked here
  hoverProvider: (q, add) => add("textDocument/hover", here(q)),
  definitionProvider: (q, add) => add("textDocument/definition", here(q)),
  referencesProvider: (q, add) => add("textDocument/references", { ...here(q), context: { includeDeclaration: true } }),
  documentHighlightProvider: (q, add) => add("textDocument/documentHighlight", here(q)),
  renameProvider: async (q, add) => {
    await add("textDocument/prepareRename", here(q));
    await add("textDocument/rename", { ...here(q), newName: "Q77" });
  },
  documentSymbolProvider: (q, add) => add("textDocument/documentSymbol", whole(q)),
  workspaceSymbolProvider: async ({ capabilities: { workspaceSymbolProvider: offer } }, add) => {
    const found = (await add("workspace/symbol", { query: "" })) as WorkspaceSymbol[] | null;
    if (typeof offer === "object" && offer.resolveProvider && found?.[0])
      await add("workspaceSymbol/resolve", found[0]);
  },
  foldingRangeProvider: (q, add) => add("textDocument/foldingRange", whole(q)),
  selectionRangeProvider: (q, add) =>
    add("textDocument/selectionRange", { ...whole(q), positions: [positionOf(q.text, q.offset)] }),
  linkedEditingRangeProvider: (q, add) => add("textDocument/linkedEditingRange", here(q)),
  documentLinkProvider: async (q, add) => {
    const links = (await add("textDocument/documentLink", whole(q))) as DocumentLink[] | null;
    if (q.capabilities.documentLinkProvider?.resolveProvider && links?.[0]) await add("documentLink/resolve", links[0]);
  },
  colorProvider: async (q, add) => {
    await add("textDocument/documentColor", whole(q));
    const color = { red: 1, green: 0.5, blue: 0, alpha: 1 };
    await add("textDocument/colorPresentation", { ...whole(q), color, range: rangeOf(q.text, q.offset, q.offset) });
  },
  codeActionProvider: async (q, add) => {
    const all = await add("textDocument/codeAction", {
      ...whole(q),
      range: rangeOf(q.text, q.offset, q.offset),
      context: { diagnostics: [] },
    });
    const offer = q.capabilities.codeActionProvider;
    const first = (all as CodeAction[] | null)?.[0];
    if (typeof offer === "object" && offer.resolveProvider && first) await add("codeAction/resolve", first);
    await add("textDocument/codeAction", {
      ...whole(q),
      range: rangeOf(q.text, 0, q.text.length),
      context: { diagnostics: [], only: ["source.fixAll"] },
    });
  },
  codeLensProvider: async (q, add) => {
    const lenses = (await add("textDocument/codeLens", whole(q))) as CodeLens[] | null;
    if (!q.capabilities.codeLensProvider?.resolveProvider) return;
    for (const lens of lenses ?? []) await add("codeLens/resolve", lens);
  },
  inlayHintProvider: async (q, add) => {
    const hints = await add("textDocument/inlayHint", { ...whole(q), range: rangeOf(q.text, 0, q.text.length) });
    const offer = q.capabilities.inlayHintProvider;
    const first = (hints as InlayHint[] | null)?.[0];
    if (typeof offer === "object" && "resolveProvider" in offer && offer.resolveProvider && first)
      await add("inlayHint/resolve", first);
  },
  completionProvider: async (q, add) => {
    const found = (await add("textDocument/completion", here(q))) as CompletionList | CompletionItem[] | null;
    const first = Array.isArray(found) ? found[0] : found?.items[0];
    if (q.capabilities.completionProvider?.resolveProvider && first) await add("completionItem/resolve", first);
  },
  signatureHelpProvider: (q, add) => add("textDocument/signatureHelp", here(q)),
  semanticTokensProvider: async (q, add) => {
    const offer = q.capabilities.semanticTokensProvider;
    if (!offer) return;
    if (offer.full) {
      const tokens = (await add("textDocument/semanticTokens/full", whole(q))) as SemanticTokens | null;
      const delta = typeof offer.full === "object" && offer.full.delta === true;
      if (delta && tokens?.resultId)
        await add("textDocument/semanticTokens/full/delta", { ...whole(q), previousResultId: tokens.resultId });
    }
    if (offer.range) {
      const range = rangeOf(q.text, q.text.length >> 2, q.text.length >> 1);
      await add("textDocument/semanticTokens/range", { ...whole(q), range });
    }
  },
  callHierarchyProvider: async (q, add) => {
    const items = (await add("textDocument/prepareCallHierarchy", here(q))) as CallHierarchyItem[] | null;
    for (const item of items ?? []) {
      await add("callHierarchy/incomingCalls", { item });
      await add("callHierarchy/outgoingCalls", { item });
    }
  },
  documentFormattingProvider: (q, add) => add("textDocument/formatting", { ...whole(q), options }),
  documentRangeFormattingProvider: (q, add) =>
    add("textDocument/rangeFormatting", { ...whole(q), options, range: rangeOf(q.text, 0, q.text.length >> 1) }),
  documentOnTypeFormattingProvider: (q, add) => add("textDocument/onTypeFormatting", { ...here(q), options, ch: "\n" }),
};

const options = { tabSize: 2, insertSpaces: true };
const whole = ({ uri }: Question) => ({ textDocument: { uri } });
const here = (question: Question) => ({ ...whole(question), position: positionOf(question.text, question.offset) });

/** Asks all that is offered, at one place of the text. */
export async function askAll(
  request: Request,
  capabilities: InitializeResult["capabilities"],
  uri: string,
  text: string,
  offset: number,
): Promise<Answers> {
  const answers: Answers = {};
  const add = async (method: string, params: object) => {
    let answer: unknown;
    try {
      answer = await request(method, params);
    } catch (error) {
      answers[unused(answers, method)] = { error: error instanceof Error ? error.message : String(error) };
      return null;
    }
    answers[unused(answers, method)] = answer;
    return answer;
  };
  for (const name of Object.keys(capabilities)) {
    if (!(name in kinds)) throw new Error(`tests/lsp/ask.ts knows no request for the capability ${name}`);
    await kinds[name]?.({ request, capabilities, uri, text, offset }, add);
  }
  return answers;
}

function unused(answers: Answers, method: string): string {
  let name = method;
  for (let n = 2; name in answers; n++) name = `${method} ${n}`;
  return name;
}

/** The protocol's own way to count: lines end with CRLF, LF or CR, columns are UTF-16 units. Written apart from the server's. */
export function positionOf(text: string, offset: number): Position {
  const lines = text.slice(0, offset).split(/\r\n|\n|\r/);
  return { line: lines.length - 1, character: lines.at(-1)!.length };
}

export function rangeOf(text: string, from: number, to: number) {
  return { start: positionOf(text, from), end: positionOf(text, to) };
}
