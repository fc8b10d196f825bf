import type { Reporter, TestModule } from "vitest/node";

/** One plain line at the very end, `12 passed, 0 failed`, whatever the terminal makes of colours. */
export default class CountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const count = { passed: 0, failed: errors.length, skipped: 0 };
    for (const module of modules) {
      const tests = [...module.children.allTests()];
      for (const test of tests) {
        const { state } = test.result();
        if (state !== "pending") count[state]++;
      }
      // A file that could not be loaded has no tests to count.
      if (module.state() === "failed" && !tests.some((test) => test.result().state === "failed")) count.failed++;
    }
    if (count.skipped > 0) console.log(`${count.skipped} skipped`);
    console.log(`${count.passed} passed, ${count.failed} failed`);
  }
}
