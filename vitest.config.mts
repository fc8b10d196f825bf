import { defineConfig } from "vitest/config";

/** Real editors and browsers: they wait for the screen, and have the computer to themselves. */
const realEditors = ["tests/editor-host/**/*.test.ts", "tests/editors/**/*.test.ts"];

export default defineConfig({
  test: {
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: "threads",
    // The plain counts at the end are for programs that read the log.
    reporters: ["default", "./tests/support/count-reporter.ts"],
    projects: [
      {
        extends: true,
        test: {
          name: "text to verdict",
          include: ["tests/**/*.test.ts"],
          exclude: ["tests/output/**", ...realEditors],
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
          // A workbench that redraws between press and release drops a click; what fails twice is a fault.
          retry: 1,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
