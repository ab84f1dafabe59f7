import { readFileSync, writeFileSync } from 'node:fs';
import { deserialize, serialize } from 'node:v8';
import { madeOnce } from '../made-once.ts';
import { type Photographed, photograph } from './photograph.ts';

/** As `photograph`, rendered once a run. */
export async function photographedOnce(
  ...[seed, kind, choice = {}]: Parameters<typeof photograph>
): Promise<Photographed> {
  const name = `photo-${seed}-${kind}-${JSON.stringify(choice).replace(/\W+/g, '-')}`;
  const path = await madeOnce(name, async (file) => {
    writeFileSync(file, serialize(await photograph(seed, kind, choice)));
  });
  return deserialize(readFileSync(path)) as Photographed;
}
