import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createConfig, lintFromString } from '@redocly/openapi-core';
import { generateApi } from 'swagger-typescript-api';
import ts from 'typescript';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { API_PATHS, API_PREFIX } from '../../src/api/paths.ts';
import { type Running, running } from '../server/running.ts';

/** The parts of an answer that the calls below check. */
interface Came {
  readonly id: string;
  readonly version: number;
  readonly state: string;
  readonly body: { readonly name: string };
  readonly records: readonly Came[];
}

let here: Running;
let folder: string;
let document: Record<string, never>;
beforeAll(async () => {
  here = await running();
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-client-'));
  document = await (await fetch(`${here.server.url}${API_PREFIX}/openapi.json`)).json();
});
afterAll(async () => {
  rmSync(folder, { recursive: true, force: true });
  await here.end();
});

async function faults(of: unknown): Promise<readonly string[]> {
  const config = await createConfig({ extends: ['recommended'] });
  const found = await lintFromString({ source: JSON.stringify(of), config });
  return found.map(({ severity, ruleId, message }) => `${severity} ${ruleId}: ${message}`);
}

// An independent reader of the same standard, OpenAPI 3.1: the linter @redocly/openapi-core.
describe('the OpenAPI document', () => {
  it('passes a public linter without a fault or a warning', async () => {
    expect(await faults(document)).toEqual([]);
  });

  it('is read by that linter, which finds what is wrong with a broken one', async () => {
    const broken = JSON.parse(
      JSON.stringify(document).replace('#/components/schemas/RecordPage', '#/not-there'),
    );
    expect((await faults(broken)).join()).toContain('no-unresolved-refs');
  });

  it('holds every call of the route table under its name', () => {
    const paths = document.paths as Record<string, Record<string, { operationId: string }>>;
    for (const [name, { method, path }] of Object.entries(API_PATHS)) {
      const url = `${API_PREFIX}${path.replace(/:(\w+)/g, '{$1}')}`;
      expect(paths[url]?.[method.toLowerCase()]?.operationId).toBe(name);
    }
  });
});

describe('a client that another program generated from the document', () => {
  it('keeps blocks and a mix, finds it, changes it and takes it back', async () => {
    const input = join(folder, 'openapi.json');
    writeFileSync(input, JSON.stringify(document));
    await generateApi({ input, output: folder, fileName: 'client.ts', silent: true });
    // Its enums are no types that Node could take away.
    const target = ts.ScriptTarget.ES2022;
    const { outputText } = ts.transpileModule(readFileSync(join(folder, 'client.ts'), 'utf8'), {
      compilerOptions: { target, module: ts.ModuleKind.ESNext },
    });
    writeFileSync(join(folder, 'client.mjs'), outputText);
    const { Api } = await import(/* @vite-ignore */ pathToFileURL(join(folder, 'client.mjs')).href);
    const client = new Api({ baseUrl: here.server.url });
    const calls: Record<string, (...words: unknown[]) => Promise<{ data: Came }>> = client.api;
    const line = await calls.makeRecord(
      { kind: 'line', body: { name: 'Saltmarsh', status: 'current' } },
      {},
    );
    const block = (name: string) =>
      calls.makeRecord({
        kind: 'block',
        body: { lineId: line.data.id, name, clayType: 'opaque', status: 'current' },
      });
    const [kelp, foam] = [await block('Kelp'), await block('Foam')];
    const parts = [
      { of: { kind: 'block', id: kelp.data.id }, parts: 5 },
      { of: { kind: 'block', id: foam.data.id }, parts: 2 },
    ];
    const body = { code: 'K7', name: 'Sea moss', parts, basis: 'volume', status: 'saved' };
    const changed = await calls.makeChange({
      what: 'Saved Sea moss',
      steps: [{ do: 'put', kind: 'mix', body }],
    });
    const mix = changed.data.records[0];
    const found = await calls.search({ text: 'sea moss' });
    expect(found.data.records[0]).toEqual(mix);
    const put = await calls.putRecord(
      mix.id,
      { kind: 'mix', body: { ...body, name: 'Sea moss light' } },
      { headers: { 'if-match': '"1"' } },
    );
    expect(put.data.version).toBe(2);
    const undone = await calls.undo({});
    expect(undone.data.records[0].body.name).toBe('Sea moss');
    const job = await calls.startJob({ do: 'verify' });
    await expect
      .poll(async () => (await calls.getJob(job.data.id)).data.state, { timeout: 30_000 })
      .toBe('done');
  });

  it('leaves no call out of docs/api.md', () => {
    const reply = readFileSync(new URL('../../docs/api.md', import.meta.url), 'utf8');
    const paths = Object.values(API_PATHS).map(({ path }) => path);
    expect(paths.filter((path) => !reply.includes(path))).toEqual([]);
  });
});
