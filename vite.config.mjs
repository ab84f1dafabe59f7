// The page, from src/web into dist/web; everything it needs lies beside it, nothing is fetched from elsewhere.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, defineConfig } from 'vite';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const target = 'es2022';

/**
 * The service worker, built when all else is there, as it must know every file of the build by name. It
 * imports nothing when it runs, so that it can never be of two builds.
 */
function serviceWorker() {
  let outDir;
  return {
    name: 'service-worker',
    apply: 'build',
    configResolved(config) {
      outDir = config.build.outDir;
    },
    async closeBundle() {
      const paths = readdirSync(outDir, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile() && !entry.name.endsWith('.map'))
        .map((entry) => relative(outDir, join(entry.parentPath, entry.name)).split(sep).join('/'))
        .filter((path) => path !== 'index.html' && path !== 'service-worker.js')
        .sort();
      const all = createHash('sha256');
      for (const path of ['index.html', ...paths]) {
        all.update(`${path}\n`).update(readFileSync(join(outDir, path)));
      }
      const index = createHash('sha256').update(readFileSync(join(outDir, 'index.html')));
      const shell = {
        build: all.digest('hex').slice(0, 16),
        index: index.digest('hex'),
        files: paths.map((path) => `/${path}`),
      };
      await build({
        configFile: false,
        publicDir: false,
        logLevel: 'error',
        define: { __SHELL__: JSON.stringify(shell) },
        build: {
          outDir,
          emptyOutDir: false,
          target,
          modulePreload: false,
          rolldownOptions: {
            input: here('src/web/offline/service-worker.ts'),
            output: { entryFileNames: 'service-worker.js' },
          },
        },
      });
    },
  };
}

/** The scripts of a page of one's own: classic ones, as a page from a disk may load no module. */
function readerScript() {
  let outDir;
  return {
    name: 'reader-script',
    apply: 'build',
    configResolved(config) {
      outDir = config.build.outDir;
    },
    async closeBundle() {
      for (const name of ['page', 'mine']) {
        await build({
          configFile: false,
          publicDir: false,
          logLevel: 'error',
          build: {
            outDir: join(outDir, 'reader-script'),
            emptyOutDir: false,
            target,
            modulePreload: false,
            rolldownOptions: {
              input: here(`src/web/reader/${name}.ts`),
              output: { entryFileNames: `${name}.js`, format: 'iife' },
            },
          },
        });
      }
    },
  };
}

/**
 * Writes into the page which files each screen is made of beyond those the page itself names, for
 * public/first.js: without it they are asked for only when all other scripts have run.
 */
function screenFiles() {
  const router = here('src/web/router.tsx');
  const routes = [
    ...readFileSync(router, 'utf8').matchAll(
      /path: '([^']+)'(?:(?!path: ').)*?import\('\.\/([^']+)'\)/gs,
    ),
  ].map(([, path, module]) => [path, here(`src/web/${module}`)]);
  return {
    name: 'screen-files',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle, chunk: entry }) {
        const chunks = Object.values(bundle).filter(({ type }) => type === 'chunk');
        const named = (fileName, known = new Set()) => {
          if (known.has(fileName)) return known;
          known.add(fileName);
          const { imports, viteMetadata } = bundle[fileName];
          for (const next of imports) named(next, known);
          for (const css of viteMetadata?.importedCss ?? []) known.add(css);
          return known;
        };
        const first = named(entry.fileName);
        const files = [];
        const place = (file) => (files.includes(file) ? files.indexOf(file) : files.push(file) - 1);
        const screens = routes.map(([path, module]) => {
          const own = chunks.find(({ moduleIds }) => moduleIds.includes(module));
          const more = [...named(own.fileName)].filter((file) => !first.has(file));
          return [path, more.map((file) => place(`/${file}`))];
        });
        const text = JSON.stringify([files, screens]).replaceAll('"', '&quot;');
        const written = html.replace('content="[[],[]]"', `content="${text}"`);
        if (screens.length === 0 || written === html) throw new Error('no screens are written in');
        return written;
      },
    },
  };
}

export default defineConfig({
  root: here('src/web'),
  plugins: [screenFiles(), serviceWorker(), readerScript()],
  build: {
    outDir: here('dist/web'),
    emptyOutDir: true,
    // Whatever is written into a style or script is refused by the content security policy.
    assetsInlineLimit: 0,
    target,
    rolldownOptions: {
      output: {
        // What most screens need comes in two files instead of thirty: asking for a file costs a slow
        // machine more than reading it.
        codeSplitting: {
          groups: [
            { name: 'libraries', test: /node_modules\/(?!zod\/)/, minShareCount: 8 },
            { name: 'shared', test: /\/src\//, minShareCount: 8 },
          ],
        },
      },
    },
  },
  worker: { format: 'es' },
});
