import { type Lab, triple } from '../../core/colour/triples.ts';
import { controlDrift } from '../../core/photo/control-drift.ts';
import { bakeShift } from '../../core/verdict/bake-shift.ts';
import { verdictLimit } from '../../core/verdict/verdict.ts';
import type { PhotoResult } from '../../domain/photo-result.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Target } from './match-code.ts';
import type { PhotoRow, TileShot } from './photo-rows.ts';
import type { State } from './photo-session-store.ts';

/** A row with what it means. */
export interface KnownRow {
  readonly row: PhotoRow;
  readonly state: State;
  readonly target: Target;
  readonly earlier: readonly RecordOf<'reading'>[];
}

const MATCH = verdictLimit('match');

/** How certain the colours of a photo are, in one or two sentences. */
export function uncertaintyInWords({ tells, rough, tiles, chart }: PhotoResult): string {
  const { colours, differences } = tells;
  if (tiles.length === 0) return 'No tiles found in this photo yet.';
  if (colours === null) return 'No tile of this photo can be used. The reasons are below.';
  const about = (v: number) => v.toFixed(1);
  // Said only where differences are clearly more certain than the colours.
  const how =
    differences === null || differences > 0.9 * colours
      ? ''
      : `; differences between similar tiles to about ${about(differences)}`;
  if (rough === null) {
    return `Colours from this photo are certain to about ${about(colours)} dE00${how} (up to ${MATCH} is a match).`;
  }
  const why =
    chart === null
      ? 'No chart found in this photo, so its colours are rough'
      : 'The chart in this photo could not be read well enough, so its colours are rough';
  const still =
    differences === null
      ? ''
      : ` Differences between its tiles are better, to about ${about(differences)}: compare raw with baked, or one step with the next.`;
  return `${why}: certain to about ${about(colours)} dE00 (up to ${MATCH} is a match).${still}`;
}

/** What baking changed in tiles shown raw and baked in one photo. */
export function bakingInWords(rows: readonly KnownRow[]): readonly string[] {
  const said: string[] = [];
  const keyOf = ({ target }: KnownRow) =>
    target.is === 'tile'
      ? target.tile.id
      : target.is === 'new tile'
        ? target.of.id
        : target.is === 'parts' || target.is === 'new block'
          ? (target.code ?? target.title)
          : undefined;
  for (const raw of rows.filter(({ state }) => state === 'raw')) {
    const key = keyOf(raw);
    const baked = rows.find((other) => other.state === 'baked' && keyOf(other) === key);
    if (key === undefined || baked === undefined) continue;
    const sentence = shiftInOnePhoto(raw.row, baked.row);
    if (sentence !== undefined) said.push(`${targetTitle(raw.target)}: ${sentence}`);
  }
  return said;
}

function shiftInOnePhoto(raw: PhotoRow, baked: PhotoRow): string | undefined {
  for (const one of raw.counted) {
    const other = baked.counted.find(({ draftId }) => draftId === one.draftId);
    if (other === undefined) continue;
    const own = covOfDifference(one, other);
    const none = new Float64Array(9);
    return bakeShift([{ lab: one.tile.lab, own }], [{ lab: other.tile.lab, own: none }]).sentence;
  }
  return undefined;
}

/** The uncertainty of the difference of two tiles in one photo, without the error they share. */
function covOfDifference(one: TileShot, other: TileShot): Float64Array {
  const { sharedCov } = one.photoResult;
  const [i, j] = [one.index, other.index];
  return Float64Array.from({ length: 9 }, (_, k) => {
    const [r, s] = [Math.floor(k / 3), k % 3];
    const at = (m: number, n: number) => sharedCov[3 * m + r][3 * n + s];
    return at(i, i) + at(j, j) - at(i, j) - at(j, i) + (r === s ? ROUNDED : 0);
  });
}

/** The answer is rounded to four places; this margin keeps the rest a covariance. */
const ROUNDED = 5e-4;

export interface DriftSentence {
  readonly sentences: readonly string[];
  /** Rows by which a photo without a chart can be balanced. */
  readonly known: readonly KnownRow[];
}

/** Whether tiles measured before still measure the same. */
export function driftInWords(rows: readonly KnownRow[]): DriftSentence {
  const known = rows.filter((one) => earlierOf(one).length > 0);
  const measured = known.filter(({ row }) => row.shots[0].photoResult.rough === null);
  const drifts = measured.map((one) => ({
    title: targetTitle(one.target),
    drift: controlDrift(
      earlierOf(one).map(({ lab, spread: v }) => ({
        lab,
        covariance: [v * v, 0, 0, 0, v * v, 0, 0, 0, v * v],
      })),
      one.row.reading,
    ),
  }));
  const sentences = drifts.map(({ title, drift: { dE00, drifted } }) =>
    drifted
      ? `${title} differs by ${dE00.toFixed(1)} from its earlier readings: too much for chance. Did the tile, the lamp or the chart change?`
      : `${title} measures the same as before (within ${dE00.toFixed(1)}).`,
  );
  const moved = drifts.flatMap(({ drift }) => (drift.drifted ? [drift.shift] : []));
  if (moved.length > 1 && moved.every((shift) => alike(shift, moved[0]))) {
    sentences.push(
      'All of them changed in the same direction: probably the light or the chart changed, not the tiles.',
    );
  }
  return { sentences: [...sentences, ...besideEachOther(known)], known };
}

/**
 * In a photo without a chart colours are rough, but differences are not: a changed difference shows that a
 * tile changed. Each tile is compared with the first.
 */
function besideEachOther(known: readonly KnownRow[]): readonly string[] {
  const rough = known.filter(({ row }) => row.shots[0].photoResult.rough !== null);
  const [anchor, ...others] = rough;
  return others.flatMap((one) => {
    const pair = one.row.counted.flatMap((shot) => {
      const beside = anchor.row.counted.find(({ draftId }) => draftId === shot.draftId);
      return beside === undefined ? [] : [{ shot, beside }];
    });
    if (pair.length === 0) return [];
    const [{ shot, beside }] = pair;
    const before = earlierMean(anchor);
    const now = triple((k) => before.lab[k] + shot.tile.lab[k] - beside.tile.lab[k]);
    const { dE00, drifted } = controlDrift(
      earlierOf(one).map(({ lab, spread }) => {
        const v = spread ** 2 + before.variance;
        return { lab, covariance: [v, 0, 0, 0, v, 0, 0, 0, v] };
      }),
      { lab: now, covariance: covOfDifference(shot, beside) },
    );
    const [title, other] = [targetTitle(one.target), targetTitle(anchor.target)];
    return drifted
      ? `The difference between ${title} and ${other} changed by ${dE00.toFixed(1)}: too much for chance. Did one of the two tiles change?`
      : `${title} and ${other} differ as before (within ${dE00.toFixed(1)}).`;
  });
}

function earlierMean(one: KnownRow): { readonly lab: Lab; readonly variance: number } {
  const all = earlierOf(one);
  const mean = triple((k) => all.reduce((sum, { lab }) => sum + lab[k] / all.length, 0));
  const variance = all.reduce((sum, { spread }) => sum + spread ** 2, 0) / all.length ** 2;
  return { lab: mean, variance };
}

/** Steps within about 45 degrees of each other. */
function alike(one: Lab, other: Lab): boolean {
  const along = one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
  return along > 0.7 * Math.hypot(...one) * Math.hypot(...other);
}

/** Measured readings of the tile in the same state, D50 and 2 degrees. */
export function earlierOf({ earlier, state }: Pick<KnownRow, 'earlier' | 'state'>) {
  return earlier.flatMap(({ body }) => {
    const { lab, readingKind, spread, override } = body;
    const fits = readingKind === 'measured' && body.state === state && override === undefined;
    if (!fits || lab === undefined || lab.light !== 'D50' || lab.observer !== 2) return [];
    return [{ lab: lab.values, spread }];
  });
}

export function targetTitle(target: Target): string {
  return target.is === 'nothing' ? 'A tile' : target.title;
}
