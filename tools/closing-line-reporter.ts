import type { Reporter, TestModule } from 'vitest/node';

/**
 * Ends a run with one plain line, `N passed, N failed, N skipped`, that any script can read. A test that passed only
 * when tried again is named, so that chance is looked into.
 */
export default class ClosingLineReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const again: string[] = [];
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === 'passed' || state === 'failed') count[state]++;
        else count.skipped++;
        if (test.diagnostic()?.flaky === true)
          again.push(`${module.relativeModuleId}: ${test.name}`);
      }
      // A file that cannot be loaded holds no test, but must not count as a green run.
      if (module.state() === 'failed' && module.errors().length > 0) count.failed++;
    }
    const text = `${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`;
    const tried = again.map((name) => `passed when tried again: ${name}\n`).join('');
    process.stdout.write(`\n${tried}${text}\n`);
  }
}
