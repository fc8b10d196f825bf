/**
 * Reads what a TypeScript file imports with a small lexer of its own: `import ... from`, `import type`, bare `import "x"`,
 * `export ... from`, `import("x")`, `import x = require("x")` and `require("x")`. Comments, strings, templates and regular expressions are skipped.
 */
export interface Import {
  readonly from: string;
  readonly line: number;
}

interface Token {
  readonly type: "word" | "string" | "mark";
  readonly text: string;
  readonly line: number;
}

const space = /\s+/y;
const comment = /\/\/[^\n]*|\/\*[\s\S]*?\*\//y;
const word = /[\p{ID_Start}$_#][\p{ID_Continue}$\u200c\u200d]*|\d[\w.]*/uy;
const string = /"(?:[^"\\\n]|\\[\s\S])*"|'(?:[^'\\\n]|\\[\s\S])*'/y;
const pattern = /\/(?![*/])(?:[^\\/[\n]|\\.|\[(?:[^\]\\\n]|\\.)*\])+\/[a-z]*/y;
/** After these a stroke divides; after anything else it starts a regular expression. */
const endsValue = /^(?:[\p{ID_Continue}$]|\)|\]|\})/u;
const wordsBeforePattern = new Set([
  "return",
  "typeof",
  "case",
  "in",
  "of",
  "do",
  "else",
  "void",
  "delete",
  "throw",
  "new",
]);

function tokens(text: string): Token[] {
  const found: Token[] = [];
  /** Depth of braces at which each open template continues. */
  const templates: number[] = [];
  let at = 0;
  let depth = 0;
  let line = 1;
  const take = (expression: RegExp): string | undefined => {
    expression.lastIndex = at;
    const match = expression.exec(text)?.[0];
    if (match === undefined) return undefined;
    at += match.length;
    line += match.split("\n").length - 1;
    return match;
  };
  const restOfTemplate = () => {
    take(/(?:[^`\\$]|\\[\s\S]|\$(?!\{))*/y);
    if (text[at] === "`") at++;
    else if (text.startsWith("${", at)) {
      templates.push(depth++);
      at += 2;
    }
  };
  while (at < text.length) {
    if (take(space) ?? take(comment)) continue;
    const start = line;
    const name = take(word);
    if (name) {
      found.push({ type: "word", text: name, line: start });
      continue;
    }
    const quoted = take(string);
    if (quoted) {
      found.push({ type: "string", text: quoted.slice(1, -1), line: start });
      continue;
    }
    const mark = text[at] ?? "";
    const before = found.at(-1);
    const value =
      before && (before.type === "string" || endsValue.test(before.text)) && !wordsBeforePattern.has(before.text);
    if (mark === "/" && !value && take(pattern)) {
      found.push({ type: "string", text: "", line: start });
      continue;
    }
    at++;
    if (mark === "`") {
      found.push({ type: "mark", text: "`", line: start });
      restOfTemplate();
      continue;
    }
    if (mark === "{") depth++;
    if (mark === "}" && templates.at(-1) === --depth) {
      templates.pop();
      restOfTemplate();
      continue;
    }
    found.push({ type: "mark", text: mark, line: start });
  }
  return found;
}

export function importsOf(text: string): Import[] {
  const all = tokens(text);
  const found: Import[] = [];
  const add = (token: Token | undefined) => {
    if (token?.type === "string") found.push({ from: token.text, line: token.line });
  };
  for (const [i, token] of all.entries()) {
    if (token.type !== "word") continue;
    const [before, next, afterNext] = [all[i - 1], all[i + 1], all[i + 2]];
    if (before?.text === ".") continue; // a property of that name
    if (token.text === "require" && next?.text === "(") add(afterNext);
    if (token.text === "import" && next?.text === "(") add(afterNext);
    else if (token.text === "import" && next?.type === "string") add(next);
    else if (token.text === "import" || token.text === "export") add(afterFrom(all, i + 1));
  }
  return found;
}

const declarations = /^(const|let|var|function|class|interface|enum|abstract|async|declare|default)$/;

/** The `"x"` behind names, braces, commas and stars and `from`; anything else is another kind of statement. */
function afterFrom(all: readonly Token[], start: number): Token | undefined {
  for (let j = start; j < all.length; j++) {
    const token = all[j];
    if (!token || token.type === "string" || (token.type === "mark" && !"{},*".includes(token.text))) return undefined;
    if (token.text === "from" && all[j + 1]?.type === "string") return all[j + 1];
    if (j === start && declarations.test(token.text)) return undefined;
  }
  return undefined;
}
