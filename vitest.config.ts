import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['src/**/*.test.ts', 'test/**/*.test.ts', 'bench/**/*.test.ts'],
    setupFiles: ['./test/fixed-chance.ts'],
    globalSetup: ['./test/shared-folder.ts'],
    // The runner leaves one core idle, which is half of a small machine.
    maxWorkers: availableParallelism(),
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', './tools/closing-line-reporter.ts'],
  },
});
