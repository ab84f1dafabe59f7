/**
 * Writes src/core/search/search-kernel.data.ts: the search's inner loops as WebAssembly, from
 * tools/search-kernel.as.
 * Run: npx tsx tools/make-kernel.ts
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const ENTRY = 'search-kernel.ts';

export async function kernelText(): Promise<string> {
  // The compiler accepts only its own file ending; the source has another, because it is not
  // TypeScript.
  const source = readFileSync(new URL('./search-kernel.as', import.meta.url), 'utf8');
  let code: Uint8Array | undefined;
  const { error, stderr } = await asc.main(
    [
      ENTRY,
      '--outFile=search-kernel.wasm',
      '--runtime=stub',
      '--enable=simd',
      '-O3',
      '--noAssert',
      '--converge',
    ],
    {
      readFile: (name) => (name === ENTRY ? source : null),
      writeFile: (name, contents) => {
        if (name.endsWith('.wasm')) code = contents as Uint8Array;
      },
      listFiles: () => [],
    },
  );
  if (error !== null) throw new Error(`The kernel does not compile: ${stderr.toString()}`);
  if (code === undefined) throw new Error('The compiler wrote no kernel.');
  return [
    '// Written by tools/make-kernel.ts from tools/search-kernel.as; do not edit.',
    '/** WebAssembly with 128-bit SIMD, base64. */',
    `export const SEARCH_KERNEL = '${Buffer.from(code).toString('base64')}';`,
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(
    new URL('../src/core/search/search-kernel.data.ts', import.meta.url),
    await kernelText(),
  );
}
