import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { modelFromFit } from '../core/clay/clay-model.ts';
import { fitClays } from '../core/clay/fit.ts';
import { openModel, predictMix } from '../core/clay/predict.ts';
import { learnReport } from '../core/clay/report.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import type { TileReading } from '../core/clay/tile-reading.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { canonicalJson, sha256Of } from './canonical-json.ts';
import type { ClayFile } from './clay-file.ts';
import { bytesFromClayFile, clayFileFromBytes, clayFileFromModel } from './clay-file-codec.ts';
import { modelFromClayFile } from './clay-file-model.ts';
import { countsByKind, reportByKind } from './readings-by-kind.ts';
import { readingSchema } from './records/reading.ts';

function tile(name: string, lab: Lab, parts: Record<string, number>): TileReading {
  return {
    tile: name,
    parts: Object.entries(parts).map(([clay, share]) => ({ clay, share })),
    colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'excluded',
    partsSpread: 0,
  };
}

const fit = fitClays(
  [
    tile('1', [94, -1, 2], { Foam: 1 }),
    tile('2', [36, -24, 22], { Kelp: 1 }),
    tile('3', [61, -23, 22], { Kelp: 0.25, Foam: 0.75 }),
    { ...tile('4', [52, 52, 45], { Starfish: 1 }), effect: 'pearl' as const },
  ],
  shippedPrior(),
);
const readings = fit.tiles.map(({ tile: { name, parts } }) =>
  readingSchema.parse({
    tile: name,
    of: parts.map(({ clay, share }) => ({ clay: fit.set.clays[clay], parts: share })),
    kind: name === '3' ? 'rough' : 'measured',
    basis: 'volume',
    state: 'baked',
    lab: { values: [50, 0, 0], light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'excluded',
    partsSpread: 0,
    place: { file: 'tiles.csv', line: 2 },
  }),
);
const model = modelFromFit(fit);
const counts = countsByKind(readings, fit.set.clays);
const file = clayFileFromModel(model, {
  madeWith: 'kneadwell 0.0.0',
  basis: 'volume',
  priorHash: PRIOR_HASH,
  readings: { files: [], hashes: [sha256Of('a reading')] },
  report: reportByKind(learnReport(fit), model, readings, counts),
  counts,
});
const text = new TextDecoder().decode(bytesFromClayFile(file));

/** A file whose damage is sealed in, as only a program could do it. */
function sealed(change: (body: Record<string, unknown>) => void): Uint8Array {
  const { seal: _seal, ...body } = JSON.parse(text);
  change(body);
  const seal = sha256Of(canonicalJson(body));
  return new TextEncoder().encode(JSON.stringify({ ...body, seal }));
}
const opened = (bytes: Uint8Array) =>
  modelFromClayFile(clayFileFromBytes(bytes, 'clay.json'), 'clay.json', shippedPrior(), PRIOR_HASH);

describe('a clay file', () => {
  it('gives back the very model, so that predictions are the same to the last bit', () => {
    const back = opened(new TextEncoder().encode(text));
    const { factor, ...rest } = model;
    const { factor: factorBack, ...restBack } = back;
    expect(restBack).toEqual(rest);
    expect([factorBack.order, factorBack.sizes]).toEqual([factor.order, factor.sizes]);
    factor.columns.forEach((column, j) => {
      column.forEach(({ row, values }, i) => {
        const kept = factorBack.columns[j][i];
        expect(kept.row).toBe(row);
        // IEEE 754 binary32 keeps 24 bits.
        expect(kept.values).toEqual(values.map((v) => Math.fround(v)));
      });
    });
    const parts = [
      { clay: 1, share: 0.5 },
      { clay: 2, share: 0.5 },
    ];
    const options = { weights: colourWeights('D65', 10), partsSpread: 0.03 };
    const [was, is] = [model, back].map((m) => predictMix(openModel(m), parts, options));
    expect([is.lab, is.spectrum]).toEqual([was.lab, was.spectrum]);
    for (let i = 0; i < 9; i++) {
      const scale = Math.sqrt(was.covariance[4 * Math.floor(i / 3)] * was.covariance[4 * (i % 3)]);
      expect(Math.abs(is.covariance[i] - was.covariance[i]) / scale).toBeLessThan(1e-6);
    }
  });

  it('counts the readings of every clay by kind, and tells errors of each kind apart', () => {
    expect(file.clays.map(({ name, readings: of }) => [name, of])).toEqual([
      ['Foam', { measured: 1, rough: 1 }],
      ['Kelp', { measured: 1, rough: 1 }],
      ['Starfish', { measured: 1 }],
    ]);
    const { apart, leaveOneOut, clays } = file.report;
    const [, , rough, special] = leaveOneOut;
    expect(apart.map(({ of, readings: n }) => [of, n])).toEqual([
      ['mixes, not measured', 1],
      ['only plain tiles', 2],
      ['special clay', 1],
    ]);
    expect(apart[0].meanDE00).toBe(rough.dE00);
    expect(apart[2].worstDE00).toBe(special.dE00);
    expect(apart[1].meanDE00).toBeCloseTo((leaveOneOut[0].dE00 + leaveOneOut[1].dE00) / 2, 12);
    expect(clays.map(({ effect }) => effect)).toEqual([undefined, undefined, 'pearl']);
  });

  it('is written with one member a line', () => {
    expect(text.split('\n')).toHaveLength(Object.keys(file).length + 3);
  });

  it('learned with another prior is refused with what to do', () => {
    const bytes = sealed((body) => {
      body.priorHash = 'another';
    });
    expect(() => opened(bytes)).toThrow(/expected other things.*Learn again from the readings/);
  });

  const float = (value: number, count: number) =>
    Buffer.from(new Float32Array(count).fill(value).buffer).toString('base64');
  const rows = model.factor.columns[0].map(({ row }) => row);
  const [first] = model.factor.sizes;
  const whole = rows.reduce(
    (sum, row) => sum + (row === 0 ? (first * (first + 1)) / 2 : first * model.factor.sizes[row]),
    0,
  );
  it('is what the damage below starts from: as many numbers that can be are let through', () => {
    const bytes = sealed((body) =>
      change((body as unknown as ClayFile).factor.columns[0], 'values', float(1, whole)),
    );
    expect(opened(bytes).factor.columns[0][0].values[0]).toBe(1);
  });

  it.each<[string, (body: ClayFile) => unknown]>([
    ['NaN in its factor', (f) => change(f.factor.columns[0], 'values', float(Number.NaN, whole))],
    [
      'an infinity in its factor',
      (f) => change(f.factor.columns[0], 'values', float(1 / 0, whole)),
    ],
    ['a pivot of 0', (f) => change(f.factor.columns[0], 'values', float(0, whole))],
    ['a block too short', (f) => change(f.factor.columns[0], 'values', float(1, whole - 1))],
    ['a block twice in its order', (f) => change(f.factor.order, 0, f.factor.order[1])],
    ['a row past the end', (f) => change(f.factor.columns[0].rows, 1, 99)],
    ['a combination of strangers', (f) => change(f.combinations[0], 'main', 99)],
    ['a combination without its block', (f) => change(f.combinations[0], 'block', 0)],
    ['a special clay without its block', (f) => change(f.clays[2].effect ?? {}, 'block', 0)],
    ['a latent too few', (f) => change(f.clays[0], 'latent', f.clays[0].latent.slice(1))],
    ['a key nobody knows', (f) => change(f, 'extra', 1)],
    ['a member too few', (f) => change(f, 'physics', undefined)],
  ])('with %s is refused though its seal is right', (_name, alter) => {
    const bytes = sealed((body) => {
      alter(body as unknown as ClayFile);
    });
    expect(() => opened(bytes)).toThrow(/changed or damaged/);
  });
});

function change(target: object, key: string | number, value: unknown): void {
  Object.assign(target, { [key]: value });
}

describe('canonical JSON', () => {
  it('is one text whatever the order of keys', () => {
    // RFC 8785 section 3.2.2 and 3.2.3: no white space, keys by code unit, ECMAScript numbers.
    expect(canonicalJson({ b: [1e21, 0.1, -0, 1e30], a: { '\u20ac': 'x', A: null } })).toBe(
      '{"a":{"A":null,"\u20ac":"x"},"b":[1e+21,0.1,0,1e+30]}',
    );
  });

  it('has the digests of FIPS 180-4', () => {
    // NIST, FIPS 180-4 examples: SHA-256 of "abc".
    expect(sha256Of('abc')).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    );
  });
});

describe('a clay file of version 2', () => {
  const path = new URL('../../test/oracles/book-0.1.0/clay.json', import.meta.url);
  const written = readFileSync(path);
  const raw = JSON.parse(written.toString('utf8'));

  it('is read with every number as it is, under the names and a seal of today', () => {
    const read = clayFileFromBytes(written, 'clay.json');
    expect(read.version).toBe(3);
    expect(read.clays).toEqual(raw.parents);
    expect(read.factor).toEqual(raw.factor);
    expect(read.report.leaveOneOut).toEqual(raw.report.leaveOneOut);
    expect(read.report.clays).toEqual(raw.report.parents);
    expect(clayFileFromBytes(bytesFromClayFile(read), 'clay.json')).toEqual(read);
  });

  it('that was changed since is refused', () => {
    const changed = { ...raw, physics: { ...raw.physics, dilution: 0 } };
    const bytes = new TextEncoder().encode(JSON.stringify(changed));
    expect(() => clayFileFromBytes(bytes, 'clay.json')).toThrow('its seal');
  });

  it('is neither the oldest nor the newest that could come', () => {
    for (const [version, hint] of [
      [1, 'Learn again'],
      [99, 'Install the newer program'],
    ] as const) {
      const bytes = new TextEncoder().encode(JSON.stringify({ ...raw, version }));
      expect(() => clayFileFromBytes(bytes, 'clay.json')).toThrow(hint);
    }
  });
});
