import type { FactorBlock } from '../core/clay/block-cholesky.ts';
import type { ClayModel } from '../core/clay/clay-model.ts';
import { AppError } from '../core/errors.ts';
import type { OpenExplanation } from '../core/find/known-clays.ts';
import { itemAt, pairs } from '../core/numeric/pairs.ts';
import { canonicalJson, sha256Of } from './canonical-json.ts';
import {
  CLAY_FORMAT,
  CLAY_VERSION,
  type ClayFile,
  type ClayFileBody,
  clayFileSchema,
} from './clay-file.ts';
import { damagedClayFile } from './clay-file-model.ts';
import type { KindCounts } from './readings-by-kind.ts';
import { upgradeClayFile } from './upgrade-clay-file.ts';

/** What the file says beside the model. */
export type ClayFields = Pick<
  ClayFileBody,
  'madeWith' | 'basis' | 'priorHash' | 'readings' | 'report'
> & {
  /** Readings by kind of every clay, in the model's order. */
  readonly counts: readonly KindCounts[];
  /** None where no tile seems wrong. */
  readonly explanations?: readonly OpenExplanation[];
};

/**
 * A clay model as the file that keeps it.
 * Holds: modelFromClayFile gives the same numbers back, but for the factor, which is kept to 24 bits:
 *        covariances then differ by less than 1e-6 of themselves (2e-7 over stocks of 10 to 200
 *        clays and measured pastes, bench/file-size.ts), the ± by half of that
 */
export function clayFileFromModel(model: ClayModel, facts: ClayFields): ClayFile {
  const body: ClayFileBody = {
    format: CLAY_FORMAT,
    version: CLAY_VERSION,
    madeWith: facts.madeWith,
    basis: facts.basis,
    geometry: model.geometry,
    priorHash: facts.priorHash,
    readings: facts.readings,
    clays: pairs(model.clays, facts.counts).map(
      ([
        { name, clayClass, group, pinned, tiles, ownTiles, shared, latent, effect },
        readings,
      ]) => ({
        name,
        clayClass,
        group,
        pinned,
        tiles,
        ownTiles,
        ...(shared === undefined ? {} : { shared }),
        latent: [...latent],
        readings,
        ...(effect === undefined
          ? {}
          : { effect: { ...effect, departure: [...effect.departure] } }),
      }),
    ),
    physics: model.physics,
    combinations: model.combinations.map((c) => ({ ...c, departures: [...c.departures] })),
    sharedBlock: model.sharedBlock,
    combinationSpread: model.combinationSpread,
    missFactor: model.missFactor,
    factor: {
      order: model.factor.order,
      sizes: model.factor.sizes,
      columns: pairs(model.factor.columns, model.factor.sizes).map(([column, size], j) => ({
        rows: column.map(({ row }) => row),
        values: base64FromColumn(column, j, size),
      })),
    },
    ...explanationsOf(model, facts),
    report: facts.report,
  };
  return clayFileSchema.parse({ ...body, seal: sealOf(body) });
}

function explanationsOf(
  { alternatives = [] }: ClayModel,
  { explanations = [] }: ClayFields,
): Pick<ClayFileBody, 'explanations' | 'alternatives'> {
  if (explanations.length === 0) return {};
  return {
    explanations: [...explanations],
    alternatives: alternatives.map((other) => ({
      ...other,
      clays: other.clays.map(({ clayClass, latent, pinned }) => ({
        clayClass,
        latent: [...latent],
        pinned,
      })),
      combinations: other.combinations.map((c) => ({ ...c, departures: [...c.departures] })),
    })),
  };
}

/** One line a member, so that two files can be laid side by side. */
export function bytesFromClayFile(file: ClayFile): Uint8Array {
  const lines = Object.entries(file).map(([k, v]) => `${JSON.stringify(k)}: ${JSON.stringify(v)}`);
  return new TextEncoder().encode(`{\n${lines.join(',\n')}\n}\n`);
}

/**
 * A clay file out of its bytes, in the shape of today also where an older version wrote it.
 * Refuses: what is no clay file -> clay-file-unknown; another version -> clay-file-version; a file
 *          that is torn or changed anywhere -> clay-file-damaged
 */
export function clayFileFromBytes(bytes: Uint8Array, name: string): ClayFile {
  const raw = jsonFrom(bytes, name);
  const head = typeof raw === 'object' && raw !== null ? (raw as Record<string, unknown>) : {};
  if (head.format !== CLAY_FORMAT) throw unknownFile(name);
  const today = upgradeClayFile(head) as Record<string, unknown>;
  if (today.version !== CLAY_VERSION) {
    throw new AppError({
      code: 'clay-file-version',
      kind: 'conflict',
      detail: `${name} is a clay model of version ${String(head.version).slice(0, 20)}; this program reads versions 2 to ${CLAY_VERSION}.`,
      hint:
        typeof head.version === 'number' && head.version > CLAY_VERSION
          ? 'Install the newer program, or learn again from the readings.'
          : 'Learn again from the readings.',
    });
  }
  const parsed = clayFileSchema.safeParse(today);
  if (!parsed.success) {
    const { path, message } = itemAt(parsed.error.issues, 0);
    throw damagedClayFile(name, path.length === 0 ? message : path.join('.'));
  }
  const { seal, ...body } = parsed.data;
  const { seal: _, ...written } = head;
  if (seal !== sealOf(written)) throw damagedClayFile(name, 'its seal');
  return today === head ? parsed.data : { ...parsed.data, seal: sealOf(body) };
}

function sealOf(body: object): string {
  return sha256Of(canonicalJson(body));
}

function jsonFrom(bytes: Uint8Array, name: string): unknown {
  let text = '';
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return JSON.parse(text);
  } catch {
    // A torn clay file still opens with its name; anything else never was one.
    if (text.slice(0, 200).includes(`"${CLAY_FORMAT}"`)) throw damagedClayFile(name, 'the text');
    const head = new TextDecoder().decode(bytes.subarray(0, 200));
    throw head.includes(`"${CLAY_FORMAT}"`) ? damagedClayFile(name, 'the text') : unknownFile(name);
  }
}

function unknownFile(name: string): AppError {
  return new AppError({
    code: 'clay-file-unknown',
    kind: 'bad-input',
    detail: `${name} is no clay model.`,
    hint: 'Give the file that "kneadwell learn READINGS --out FILE" wrote.',
  });
}

function base64FromColumn(column: readonly FactorBlock[], j: number, size: number): string {
  const kept = column.flatMap(({ row, values }) =>
    [...values].filter((_, k) => row !== j || k % size <= Math.floor(k / size)),
  );
  const view = new DataView(new ArrayBuffer(kept.length * 4));
  for (const [at, value] of kept.entries()) view.setFloat32(at * 4, value, true);
  return Buffer.from(view.buffer).toString('base64');
}
