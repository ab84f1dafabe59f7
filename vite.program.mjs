// The program, from src/main into dist/main. Asking for a file costs a start more than reading one, and the
// sources are some seven hundred, those of two libraries as many again: together they are a few dozen.
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('.'),
  publicDir: false,
  // All that know zod share one copy. Other libraries stay where npm put them: some look for files beside theirs.
  ssr: { noExternal: ['zod', 'fastify-type-provider-zod', 'kysely', 'ml-matrix'] },
  build: {
    ssr: true,
    target: 'node22',
    outDir: here('dist/main'),
    emptyOutDir: true,
    minify: false,
    sourcemap: true,
    rolldownOptions: {
      input: Object.fromEntries(
        ['kneadwell', 'demo', 'work-thread'].map((name) => [name, here(`src/main/${name}.ts`)]),
      ),
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
