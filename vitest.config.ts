import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import MixedOrder from './tools/mixed-order.ts';

/** A browser and a server of their own in each. */
const PAGE = ['test/journeys/page-*.test.ts'];
/** Pure, or on a folder of their own: many small files, which may share a process. */
const UNIT = ['src/**/*.test.ts'];
/** Past this a test hangs; no measure of how quick anything is. */
const HANGS_MS = 300_000;

export default defineConfig({
  test: {
    setupFiles: ['./test/fixed-chance.ts'],
    globalSetup: ['./test/shared-folder.ts'],
    testTimeout: HANGS_MS,
    hookTimeout: HANGS_MS,
    expect: { poll: { timeout: HANGS_MS / 2 } },
    reporters: ['default', './tools/closing-line-reporter.ts'],
    // Node reads the sources itself where it can: through the runner, each call of an import is a look into a
    // table, and what computes takes twice as long.
    experimental: { viteModuleRunner: !process.features.typescript, nodeLoader: false },
    // Left to itself, the runner leaves one core idle: half of a small machine. With a worker a core, two fifths of
    // the time is spent waiting for a browser or a program.
    maxWorkers: availableParallelism() + 1,
    sequence: { sequencer: MixedOrder },
    projects: [
      {
        extends: true,
        test: { name: 'unit', include: UNIT, isolate: false },
      },
      {
        extends: true,
        test: {
          name: 'program',
          isolate: false,
          include: ['test/**/*.test.ts', 'bench/**/*.test.ts'],
          exclude: ['node_modules/**', ...PAGE],
        },
      },
      // A browser on a busy machine fails by chance now and then. Such a test is tried once more, and named at the end.
      { extends: true, test: { name: 'page', include: PAGE, isolate: false, retry: 1 } },
    ],
  },
});
