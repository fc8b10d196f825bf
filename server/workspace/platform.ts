/** What the service needs from the place it runs in: a Node process, a browser's worker or a test. */
export interface Platform {
  /** The text behind an address (a URI, or a path on the command line); undefined when there is none. May reject. */
  readFile(address: string): Promise<string | undefined>;
  /** Addresses of the language's files in a folder, at any depth; left out where folders cannot be looked through. May reject. */
  findFiles?(folder: string): Promise<readonly string[]>;
  /** Runs the job once, after the messages that wait already. */
  soon(job: () => void): void;
  /** Runs the job once after so many milliseconds; the function returned calls it off. */
  after(milliseconds: number, job: () => void): () => void;
  /** Milliseconds on a clock that never goes back. */
  now(): number;
  /** One line for the log, never for the person's screen. */
  log(line: string): void;
}
