import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ApiClient } from '../src/client/api-client.ts';
import { demoStudio } from '../test/journeys/program.ts';

/** The folder of a copy of the demo studio, learned once a run. */
export async function demoBook(): Promise<string> {
  const around = mkdtempSync(join(tmpdir(), 'kneadwell-demo-studio-'));
  await demoStudio(around);
  return join(around, 'demo');
}

/** A mix of the demo with a baked tile, so that all its stages are drawn. */
export async function mixWithTile(client: ApiClient): Promise<string> {
  const tiles = (await client.call('listRecords', { query: { kind: 'tile', limit: 200 } })).body;
  for (const { kind, body } of tiles.records) {
    if (kind === 'tile' && 'kind' in body.of && body.of.kind === 'mix') return body.of.id;
  }
  throw new Error('The demo has no tile of a mix.');
}

/** Deletes a figure, so that there is something to restore. */
export async function deleteFigure(client: ApiClient): Promise<void> {
  const { records } = (await client.call('listRecords', { query: { kind: 'figure' } })).body;
  const [{ id, version }] = records;
  await client.call('binRecord', { params: { id } }, { version });
}
