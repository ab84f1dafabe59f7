// The page, from src/web into dist/web; everything it needs lies beside it, nothing is fetched from elsewhere.
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

export default defineConfig({
  root: fileURLToPath(new URL('src/web', import.meta.url)),
  build: {
    outDir: fileURLToPath(new URL('dist/web', import.meta.url)),
    emptyOutDir: true,
    // Whatever is written into a style or script is refused by the content security policy.
    assetsInlineLimit: 0,
    target: 'es2022',
  },
  worker: { format: 'es' },
});
