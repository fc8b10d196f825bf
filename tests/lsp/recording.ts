/** What went over the wire between an editor and the server, byte by byte, as the protocol says it must. */
import type { Readable } from "node:stream";

export interface WireMessage {
  readonly jsonrpc?: unknown;
  readonly id?: number | string | null;
  readonly method?: string;
  readonly params?: unknown;
  readonly result?: unknown;
  readonly error?: { readonly code?: unknown; readonly message?: unknown; readonly data?: unknown };
}

export class Recording {
  readonly sent: WireMessage[] = [];
  readonly received: WireMessage[] = [];
  /** Of the framing: bytes that no reader should have to accept. */
  readonly faults: string[] = [];
  #bytes: Buffer = Buffer.alloc(0);

  listen(stdout: Readable): void {
    stdout.on("data", (data: Buffer) => {
      this.#bytes = Buffer.concat([this.#bytes, data]);
      this.#read();
    });
  }

  #read(): void {
    for (;;) {
      const end = this.#bytes.indexOf("\r\n\r\n");
      if (end < 0) return;
      const header = this.#bytes.subarray(0, end).toString("latin1");
      const length = /^Content-Length: (\d+)$/m.exec(header.replaceAll("\r", ""))?.[1];
      if (length === undefined) {
        this.faults.push(`no length in the header ${JSON.stringify(header)}`);
        this.#bytes = Buffer.alloc(0);
        return;
      }
      const from = end + 4;
      const to = from + Number(length);
      if (this.#bytes.length < to) return;
      const body = new TextDecoder("utf-8", { fatal: true }).decode(this.#bytes.subarray(from, to));
      this.received.push(JSON.parse(body) as WireMessage);
      this.#bytes = this.#bytes.subarray(to);
    }
  }
}
