/**
 * Whether messages of the server are what the protocol says. The packages of the protocol ship only the schema of its meta model, not
 * the model itself; what they do ship is every type as TypeScript declarations, made from that model. So each message is
 * written down as a literal of the type of its method, and the TypeScript compiler judges: missing, misspelt, surplus and mistyped
 * properties are errors. What types cannot say (whole numbers, ranges the right way round, who answers what) is checked here.
 */
import { execFile } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import * as protocol from "vscode-languageserver-protocol/node";
import * as ownProtocol from "../../server/protocol.ts";
import type { Recording, WireMessage } from "./recording.ts";

const root = resolve(import.meta.dirname, "../..");

interface Kind {
  /** Name of the namespace that the package exports for the method. */
  readonly name: string;
  readonly request: boolean;
  readonly fromServer: boolean;
  readonly fromClient: boolean;
}

/** Messages of our own, by method: `camleaf/drawing` has the types `DrawingParams` and `DrawingResult` of `server/protocol.ts`. */
const own: ReadonlyMap<string, string> = new Map(
  Object.entries(ownProtocol).map(([name, method]) => [method, `own.${name.charAt(0).toUpperCase()}${name.slice(1)}`]),
);

/** Methods of our own that a whole session has to show. */
export const ownMethods: readonly string[] = [...own.keys()];

/** Every method that the package knows. */
const kinds: ReadonlyMap<string, Kind> = new Map(
  Object.entries(protocol as Record<string, unknown>).flatMap(([name, value]): [string, Kind][] => {
    if (typeof value !== "object" || value === null || !("method" in value) || !("messageDirection" in value))
      return [];
    const { method, messageDirection } = value;
    if (typeof method !== "string" || !/Request$|Notification$/.test(name)) return [];
    const both = messageDirection === "both";
    return [
      [
        method,
        {
          name,
          request: name.endsWith("Request"),
          fromServer: both || messageDirection === "serverToClient",
          fromClient: both || messageDirection === "clientToServer",
        },
      ],
    ];
  }),
);

const head = `import type * as p from "vscode-languageserver-protocol/node";
import type * as own from "OWN";
// On the wire, nothing is null.
type Wire<R> = void extends R ? Exclude<R, void> | null : R;
type Result<T> =
  T extends p.ProtocolRequestType<infer _P, infer R, infer _PR, infer _E, infer _O> ? Wire<R>
  : T extends p.ProtocolRequestType0<infer R, infer _PR, infer _E, infer _O> ? Wire<R> : never;
type Params<T> =
  T extends p.ProtocolRequestType<infer P, infer _R, infer _PR, infer _E, infer _O> ? P
  : T extends p.ProtocolNotificationType<infer P, infer _O> ? P : never;
`;

interface Claim {
  readonly type: string;
  readonly value: unknown;
  readonly what: string;
}

/** All that is wrong with what the server sent; empty when every message is sound. */
export async function wrongMessages({ sent, received, faults }: Recording): Promise<string[]> {
  const wrong = [...faults];
  const claims: Claim[] = [];
  const asked = new Map<unknown, string>();
  const answered = new Set<unknown>();
  for (const { id, method } of sent) if (id !== undefined && method !== undefined) asked.set(id, method);
  for (const message of received) {
    wrong.push(...faultsOf(message));
    if (message.method !== undefined) {
      const claim = claimOfSent(message, message.method);
      if (typeof claim === "string") wrong.push(claim);
      else if (claim) claims.push(claim);
      continue;
    }
    const method = asked.get(message.id);
    if (method === undefined) wrong.push(`an answer to nothing that was asked: ${JSON.stringify(message)}`);
    else if (answered.has(message.id)) wrong.push(`a second answer to ${method} ${message.id}`);
    else if (!message.error) {
      const type = own.has(method)
        ? `${own.get(method)}Result | null`
        : kinds.has(method) && `Result<typeof p.${kinds.get(method)!.name}.type>`;
      if (type) claims.push({ type, value: message.result, what: `answer to ${method}` });
      else wrong.push(`an answer to the unknown ${method}`);
    }
    answered.add(message.id);
  }
  for (const [id, method] of asked) if (!answered.has(id)) wrong.push(`no answer to ${method} ${String(id)}`);
  for (const { type, value, what } of claims) if (!type.startsWith("own.")) wrong.push(...unsound(value, what));
  return [...wrong, ...(await mistyped(claims))];
}

/** The envelope, as JSON-RPC 2.0 has it. */
function faultsOf(message: WireMessage): string[] {
  const faults: string[] = [];
  const text = JSON.stringify(message);
  if (message.jsonrpc !== "2.0") faults.push(`not JSON-RPC 2.0: ${text}`);
  if (message.method === undefined) {
    if ("result" in message === "error" in message) faults.push(`neither result nor error, or both: ${text}`);
    const { error } = message;
    if (error && (!Number.isInteger(error.code) || typeof error.message !== "string"))
      faults.push(`an error without code and message: ${text}`);
  }
  for (const name of Object.keys(message))
    if (!["jsonrpc", "id", "method", "params", "result", "error"].includes(name))
      faults.push(`surplus ${name}: ${text}`);
  return faults;
}

function claimOfSent({ id, params }: WireMessage, method: string): Claim | string | undefined {
  const ours = own.get(method);
  if (ours) return { type: id === undefined ? ours : `${ours}Params`, value: params, what: method };
  if (method === "$/cancelRequest" || method === "$/progress" || method === "$/logTrace") return undefined;
  const kind = kinds.get(method);
  if (!kind) return `the unknown method ${method}`;
  if (!kind.fromServer) return `${method} is not for a server to send`;
  if (kind.request !== (id !== undefined)) return `${method} with an id that it should not have, or without`;
  if (params === undefined || params === null) return undefined; // refresh requests have none
  return { type: `Params<typeof p.${kind.name}.type>`, value: params, what: method };
}

/** Whole numbers and ranges, which the types leave open. */
function unsound(value: unknown, what: string): string[] {
  if (typeof value === "number")
    return Number.isInteger(value) && value >= 0 ? [] : [`${what}: ${value} is no uinteger`];
  if (typeof value !== "object" || value === null) return [];
  if (isColour(value)) return [];
  const found = Object.entries(value).flatMap(([name, each]) => unsound(each, `${what}.${name}`));
  if (isRange(value)) {
    const { start, end } = value;
    if (start.line > end.line || (start.line === end.line && start.character > end.character))
      found.push(`${what}: a range that ends before it begins: ${JSON.stringify(value)}`);
  }
  return found;
}

type Range = { readonly start: protocol.Position; readonly end: protocol.Position };
const isRange = (value: object): value is Range =>
  "start" in value && "end" in value && typeof value.start === "object";
const isColour = (value: object) => "red" in value && "green" in value && "blue" in value;

/** What the compiler says, each line with the message it is about. */
async function mistyped(claims: readonly Claim[]): Promise<string[]> {
  const folder = join(root, "tests/output/lsp");
  mkdirSync(folder, { recursive: true });
  const file = join(folder, `messages-${process.pid}-${Math.random().toString(36).slice(2)}.ts`);
  const lines = new Map<string, string>();
  for (const { type, value, what } of claims) {
    // One line per message, and each only once.
    const line = `((_: ${type}) => {})(${JSON.stringify(value) ?? "undefined"});`;
    if (!lines.has(line)) lines.set(line, what);
  }
  const ownTypes = relative(folder, join(root, "server/protocol.ts")).replaceAll("\\", "/");
  const start = head.replace("OWN", ownTypes);
  writeFileSync(file, `${start}${[...lines.keys()].join("\n")}\n`);
  const before = start.split("\n").length;
  const written = [...lines.entries()];
  const flags = "--noEmit --strict --skipLibCheck --target es2022 --module esnext --moduleResolution bundler";
  const args = [
    ...flags.split(" "),
    "--allowImportingTsExtensions",
    "--ignoreConfig",
    "--types",
    "node",
    "--pretty",
    "false",
    file,
  ];
  const { code, output } = await run([join(root, "node_modules/typescript/bin/tsc"), ...args]);
  const found: string[] = [];
  for (const match of output.matchAll(/\((\d+),\d+\): error (TS\d+: .*)/g)) {
    const [line, what] = written[Number(match[1]) - before] ?? [];
    found.push(`${what ?? "the test's own head"}: ${match[2]}\n  ${line?.slice(0, 600) ?? ""}`);
  }
  if (code !== 0 && found.length === 0) found.push(`the compiler failed: ${output}`);
  rmSync(file);
  return found;
}

function run(args: readonly string[]): Promise<{ code: number; output: string }> {
  return new Promise((done) => {
    execFile(process.execPath, args, { maxBuffer: 1 << 26, cwd: root }, (error, stdout, stderr) => {
      done({ code: error ? 1 : 0, output: `${stdout}${stderr}` });
    });
  });
}
