import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** What takes longest, first: begun last, one file would run alone at the end while the other core waits. */
const longest = [
  "states-exact/random",
  "mutations/mutations",
  "states-exact/",
  "lsp/",
  "mutations/",
  "workspace/",
  "proposals/",
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification): number => {
      const found = longest.findIndex(
        (path) => moduleId.includes(`/tests/${path}`) || moduleId.includes(`/checks/${path}`),
      );
      return found < 0 ? longest.length : found;
    };
    return [...files].sort((a, b) => rank(a) - rank(b));
  }
}

/** Real editors and browsers: they wait for the screen, and have the computer to themselves. */
const realEditors = ["tests/editor-host/**/*.test.ts", "tests/editors/**/*.test.ts"];

/** Plain functions from text to answers: no process, no file of theirs, nothing that one test could change for another. */
const pure = ["grammar", "language", "machine", "circuit", "states", "states-exact", "checks", "editor", "meter"].map(
  (room) => `tests/${room}/**/*.test.ts`,
);

export default defineConfig({
  test: {
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: "threads",
    sequence: { sequencer: LongestFirst },
    // The plain counts at the end are for programs that read the log.
    reporters: ["default", "./tests/support/count-reporter.ts"],
    projects: [
      {
        extends: true,
        test: {
          name: "text to verdict",
          include: pure,
          maxWorkers: 2,
          // Modules are loaded once in each thread, not once for each file: a third less to do.
          isolate: false,
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        test: {
          name: "whole programs",
          include: ["tests/**/*.test.ts"],
          exclude: ["tests/output/**", ...realEditors, ...pure],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        test: {
          name: "real editors",
          include: realEditors,
          testTimeout: 120_000,
          maxWorkers: 1,
          // A workbench that redraws between press and release drops a click; what fails each time is a fault.
          retry: 2,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
