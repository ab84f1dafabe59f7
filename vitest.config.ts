import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['src/**/*.test.ts', 'test/**/*.test.ts', 'bench/**/*.test.ts'],
    setupFiles: ['./test/fixed-chance.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', './tools/closing-line-reporter.ts'],
  },
});
