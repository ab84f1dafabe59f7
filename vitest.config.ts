import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

/** A browser, a server and its threads in each: one at a time, as they wait for one another's answers. */
const PAGE = ['test/journeys/page-*.test.ts'];

export default defineConfig({
  test: {
    setupFiles: ['./test/fixed-chance.ts'],
    globalSetup: ['./test/shared-folder.ts'],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    reporters: ['default', './tools/closing-line-reporter.ts'],
    projects: [
      {
        extends: true,
        test: {
          name: 'program',
          include: ['src/**/*.test.ts', 'test/**/*.test.ts', 'bench/**/*.test.ts'],
          exclude: ['node_modules/**', ...PAGE],
          // Left to itself, the runner leaves one core idle: half of a small machine.
          maxWorkers: availableParallelism(),
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        test: { name: 'page', include: PAGE, maxWorkers: 1, sequence: { groupOrder: 1 } },
      },
    ],
  },
});
