import { cpSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ApiClient } from '../src/client/api-client.ts';
import { madeOnce } from '../test/made-once.ts';
import { done, running } from '../test/server/running.ts';

/** The folder of a copy of the demo studio, learned once a run. */
export async function demoBook(): Promise<string> {
  const learned = await madeOnce('demo-studio', async (path) => {
    const run = await running({}, path);
    await run.client.call('moveDemoIn', {});
    await done(run.client, { do: 'learn', name: 'Learned from the demo tiles' });
    const { records } = (await run.client.call('listRecords', { query: { kind: 'figure' } })).body;
    // Something deleted, to be restored.
    const [{ id, version }] = records;
    await run.client.call('binRecord', { params: { id } }, { version });
    await run.end(true);
  });
  const copy = mkdtempSync(join(tmpdir(), 'kneadwell-demo-studio-'));
  cpSync(learned, copy, { recursive: true });
  return copy;
}

/** A mix of the demo with a baked tile, so that all its stages are drawn. */
export async function mixWithTile(client: ApiClient): Promise<string> {
  const tiles = (await client.call('listRecords', { query: { kind: 'tile', limit: 200 } })).body;
  for (const { kind, body } of tiles.records) {
    if (kind === 'tile' && 'kind' in body.of && body.of.kind === 'mix') return body.of.id;
  }
  throw new Error('The demo has no tile of a mix.');
}
