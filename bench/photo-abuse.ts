/**
 * What becomes of photos that are cut, turned, mirrored, filtered, shaded, too small, too large, damaged or no
 * photos at all? Each is read as by a user who names no settings; tiles of a table are tapped.
 *
 *  - right: no tile is wrong but those that are marked poor
 *  - refused: an error in words, or no tile at all and a note that says why, or all tiles marked poor
 *  - wrong, and said: tiles are wrong by more than 3 dE00 and outside their 99 % region, and a note or a mark
 *    says that something is amiss
 *  - wrong silently: the same without a note and without a mark
 *
 * Run:     npx tsx bench/photo-abuse.ts [--seed 1] [--only PATTERN]
 */
import { parseArgs } from 'node:util';
import { AppError } from '../src/core/errors.ts';
import { CHART_VALUES } from '../src/core/photo/chart-values.ts';
import { pixelOf } from '../src/core/photo/plane-view.ts';
import { type PhotoOutcome, readPhoto } from '../src/core/photo/read-photo.ts';
import { PAPERS, traySheetLayout } from '../src/core/photo/sheet-layout.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { ABUSES, type Abuse, type AbuseBases, abuseBases } from '../test/faults/photo-abuses.ts';
import { type Photographed, scoreTiles } from '../test/studio-camera/photograph.ts';

const WRONG_DE = 3;
const { values } = parseArgs({
  options: { seed: { type: 'string', default: '1' }, only: { type: 'string', default: '' } },
});

interface Verdict {
  readonly verdict: 'right' | 'refused' | 'wrong, and said' | 'wrong silently';
  readonly says: string;
}

async function judged(abuse: Abuse, bases: AbuseBases): Promise<Verdict> {
  const bytes = await abuse.make(bases);
  let opened: Awaited<ReturnType<typeof decodePhoto>>;
  try {
    opened = await decodePhoto(bytes, 'photo.jpg');
  } catch (thrown) {
    if (thrown instanceof AppError && thrown.kind === 'bad-input') {
      return { verdict: 'refused', says: `${thrown.detail} ${thrown.hint}` };
    }
    throw thrown;
  }
  const { picture, colours } = opened;
  const base = abuse.of === undefined ? undefined : bases[abuse.of];
  const taps =
    base?.scene.tiles.flatMap(({ place, at }) =>
      at === undefined ? [] : [{ name: place, at: pixelOf(base.rendered.view, at) }],
    ) ?? [];
  const read = readPhoto({
    picture,
    colours,
    layouts: abuse.of === 'table' ? [] : PAPERS.map(traySheetLayout),
    chart: CHART_VALUES['before 2014'],
    taps,
    findTiles: taps.length === 0,
  });
  const notes = read.notes.join(' ');
  const named = base === undefined ? read : byPlace(base, read);
  const scored = base === undefined ? [] : scoreTiles(base.scene, named);
  const marks = (name: string) => named.tiles.find((tile) => tile.name === name)?.marks ?? [];
  const used = scored.filter(({ poor }) => !poor);
  const wrong = used.filter(({ dE00, within99 }) => dE00 > WRONG_DE && !within99);
  const worst = Math.max(0, ...used.map(({ dE00 }) => dE00));
  if (wrong.length > 0) {
    const unsaid = notes === '' && wrong.some(({ place }) => marks(place).length === 0);
    return {
      verdict: unsaid ? 'wrong silently' : 'wrong, and said',
      says: `${wrong.length} of ${used.length} wrong, worst ${worst.toFixed(1)}. ${notes}`,
    };
  }
  if (used.length === 0) {
    const poor = scored.flatMap(({ place }) => marks(place).map(({ reason }) => reason));
    const says = notes === '' ? (poor[0] ?? '') : notes;
    const silent = says === '' || (base === undefined && read.tiles.length > 0 && notes === '');
    return { verdict: silent ? 'wrong silently' : 'refused', says };
  }
  return {
    verdict: 'right',
    says: `${used.length} of ${base?.scene.tiles.length} read, worst ${worst.toFixed(1)}. ${notes}`,
  };
}

/** Without its sheet, tiles of a tray have the names of proposals: they are named by where they lie. */
function byPlace({ scene, rendered }: Photographed, read: PhotoOutcome): PhotoOutcome {
  const onPlaces = scene.tiles.every(({ at }) => at === undefined);
  if (read.sheet !== undefined || !onPlaces) return read;
  const { places } = scene.layout;
  const tiles = read.tiles.map((tile) => {
    const here = places.find(({ centre, sideMm }) => {
      const [x, y] = pixelOf(rendered.view, centre);
      const [beside] = pixelOf(rendered.view, [centre[0] + sideMm / 2, centre[1]]);
      return Math.hypot(tile.centre[0] - x, tile.centre[1] - y) < Math.abs(beside - x);
    });
    return { ...tile, name: here?.name ?? `beside ${tile.name}` };
  });
  return { ...read, tiles };
}

const bases = await abuseBases(Number(values.seed));
const counts = new Map<string, number>();
for (const abuse of ABUSES) {
  if (!new RegExp(values.only).test(abuse.what)) continue;
  const started = performance.now();
  const { verdict, says } = await judged(abuse, bases);
  counts.set(verdict, (counts.get(verdict) ?? 0) + 1);
  console.log(
    `| ${abuse.what} | ${verdict} | ${says.trim()} | ${((performance.now() - started) / 1000).toFixed(1)} s |`,
  );
}
console.log([...counts].map(([verdict, n]) => `${verdict}: ${n}`).join('; '));
