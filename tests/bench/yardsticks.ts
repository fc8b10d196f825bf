/**
 * The yardsticks: general-purpose language services for JSON, CSS and YAML, on texts of as many lines, in the same run. Their servers wait
 * 200 to 500 ms after a keystroke before they look at the text; here their services are asked at once, without any server.
 */
import { getCSSLanguageService } from "vscode-css-languageservice";
import { getLanguageService as getJsonLanguageService, TextDocument } from "vscode-json-languageservice";
import { getLanguageService as getYamlLanguageService } from "yaml-language-server/out/server/src/languageservice/yamlLanguageService.js";

/** One language: a text, places to type and ask at, and how its service answers. */
export interface Yardstick {
  readonly name: string;
  readonly text: string;
  /** The text after a keystroke, another one for each run. */
  typed(run: number): string;
  /** A name to ask about: hover, and renaming where there is renaming. */
  readonly askAt: number;
  /** Where a name is being written; left out: at `askAt`. */
  readonly completeAt?: number;
  /** The number of problems that the service finds in the text, from the text alone. */
  check(text: string): Promise<number>;
  /** Finds the state that answers speak of, where there is such a thing. */
  showState?(text: string, offset: number): Promise<unknown>;
  hover(text: string, offset: number): Promise<unknown>;
  completion(text: string, offset: number): Promise<unknown>;
  rename?(text: string, offset: number): Promise<unknown>;
  format(text: string): Promise<unknown>;
}

const schema = {
  type: "array",
  description: "Lines of a text",
  items: {
    type: "object",
    description: "One line",
    required: ["line", "kind", "words"],
    additionalProperties: false,
    properties: {
      line: { type: "integer", minimum: 1, description: "Number of the line" },
      kind: { type: "string", pattern: "^\\S*$", description: "First word" },
      words: { type: "array", items: { type: "string" }, description: "The other words" },
    },
  },
} as const;
const schemas = (end: string) => [
  { uri: "bench://schema.json", fileMatch: [`*.${end}`], schema: structuredClone(schema) as object },
];
const style = { tabSize: 2, insertSpaces: true };

interface Line {
  readonly line: number;
  readonly kind: string;
  readonly words: readonly string[];
}

function linesOf(text: string): Line[] {
  return text
    .split("\n")
    .slice(0, -1)
    .map((line, index) => {
      const words = line.trim().split(/\s+/).filter(Boolean);
      return { line: index + 1, kind: words[0] ?? "", words: words.slice(1) };
    });
}

/** Behind the first `mark` past the middle. */
const behind = (text: string, mark: string) => text.indexOf(mark, text.length / 2) + mark.length;

/** Two digits more at the place. */
const typing = (text: string, at: number) => (run: number) => `${text.slice(0, at)}${10 + run}${text.slice(at)}`;

function jsonYardstick(of: string): Yardstick {
  const objects = linesOf(of).map((line) => `  ${JSON.stringify(line)}`);
  const text = `[\n${objects.slice(1, -1).join(",\n")}\n]\n`;
  const service = getJsonLanguageService({});
  service.configure({ validate: true, schemas: schemas("json") });
  const document = kept("json");
  const tree = (read: TextDocument) => service.parseJSONDocument(read);
  return {
    name: "JSON",
    text,
    typed: typing(text, behind(text, '"words":["')),
    askAt: behind(text, '"kin'),
    check: async (now) => (await service.doValidation(document(now), document.tree(now, tree))).length,
    hover: async (now, at) => service.doHover(document(now), document(now).positionAt(at), document.tree(now, tree)),
    completion: async (now, at) =>
      service.doComplete(document(now), document(now).positionAt(at), document.tree(now, tree)),
    format: async (now) => service.format(document(now), undefined as never, style),
  };
}

function cssYardstick(of: string): Yardstick {
  const text = `${linesOf(of)
    .map(({ line, words }) => {
      const name = line % 7 === 0 ? "kept" : `l${line}`;
      return `.${name} { width: ${line}px; color: #1a2b3c; content: ${JSON.stringify(words.join(" ").replaceAll('"', "'"))} }`;
    })
    .join("\n")}\n`;
  const service = getCSSLanguageService();
  const document = kept("css");
  const tree = (read: TextDocument) => service.parseStylesheet(read);
  return {
    name: "CSS",
    text,
    typed: typing(text, behind(text, "width: ")),
    askAt: behind(text, ".ke"),
    check: async (now) => service.doValidation(document(now), document.tree(now, tree)).length,
    hover: async (now, at) => service.doHover(document(now), document(now).positionAt(at), document.tree(now, tree)),
    completion: async (now, at) =>
      service.doComplete(document(now), document(now).positionAt(at), document.tree(now, tree)),
    rename: async (now, at) =>
      service.doRename(document(now), document(now).positionAt(at), "other", document.tree(now, tree)),
    format: async (now) => service.format(document(now), undefined, style),
  };
}

function yamlYardstick(of: string): Yardstick {
  const text = `${linesOf(of)
    .map(({ line, kind, words }) => `- {line: ${line}, kind: ${JSON.stringify(kind)}, words: ${JSON.stringify(words)}}`)
    .join("\n")}\n`;
  const service = getYamlLanguageService({
    schemaRequestService: () => Promise.reject(new Error("no schema is fetched")),
    workspaceContext: { resolveRelativePath: (path) => path },
  });
  service.configure({ validate: true, hover: true, completion: true, format: true, schemas: schemas("yaml") });
  const document = kept("yaml");
  return {
    name: "YAML",
    text,
    typed: typing(text, behind(text, 'words: ["')),
    askAt: behind(text, ", kin"),
    check: async (now) => (await service.doValidation(document(now), false)).length,
    hover: (now, at) => service.doHover(document(now), document(now).positionAt(at)),
    completion: (now, at) => service.doComplete(document(now), document(now).positionAt(at), false),
    format: (now) => service.doFormat(document(now), {}),
  };
}

/** As servers keep them: a document and its tree are read once after each keystroke, with a new version, and asked about many times. */
function kept(language: string) {
  let document = TextDocument.create(`bench://kept.${language}`, language, 0, "");
  let read: { readonly of: TextDocument; readonly tree: unknown } | undefined;
  const of = (text: string): TextDocument => {
    if (document.getText() !== text) document = TextDocument.create(document.uri, language, document.version + 1, text);
    return document;
  };
  return Object.assign(of, {
    tree<Tree>(text: string, parse: (document: TextDocument) => Tree): Tree {
      const now = of(text);
      if (read?.of !== now) read = { of: now, tree: parse(now) };
      return read.tree as Tree;
    },
  });
}

/** All of them on texts of as many lines as `of`, its words in them. */
export function yardsticks(of: string): Yardstick[] {
  return [jsonYardstick(of), cssYardstick(of), yamlYardstick(of)];
}
