import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/output/**"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: "threads",
    maxWorkers: 2,
    // The plain counts at the end are for programs that read the log.
    reporters: ["default", "./tests/support/count-reporter.ts"],
  },
});
