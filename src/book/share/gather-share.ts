import { sharesOfParts } from '../../core/clay/mixture.ts';
import type { Predictor } from '../../core/clay/predict.ts';
import { HOUSE_VIEWING } from '../../core/colour/house-viewing.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { AppError } from '../../core/errors.ts';
import { predictViewed } from '../../core/find/predicted-mix.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { mixResolver } from '../../core/mixes/resolve-mix.ts';
import { clayKey } from '../../core/notation/clay-name.ts';
import { glossShareOf } from '../../core/optics/surface.ts';
import { type SharedClays, sharedClays } from '../../core/share/shared-clays.ts';
import { bakingOfLine } from '../../domain/clay-of-block.ts';
import { mixGraphOf, partsOfBlocks } from '../../domain/mix-graph-of-book.ts';
import { newestModelOf } from '../../domain/newest-model.ts';
import { labOfReading } from '../../domain/records/lab-of-reading.ts';
import { spreadOfKind } from '../../domain/records/reading-kind.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { byQuality } from '../../domain/records/shown-colour.ts';
import type { ShareChoice } from '../../domain/share/share-choice.ts';
import { sealed } from '../../domain/share/share-codec.ts';
import { curvesOfClays } from '../../domain/share/share-curves.ts';
import {
  SHARE_LIMITS,
  type ShareFile,
  type ShareMix,
  type ShareWish,
} from '../../domain/share/share-file.ts';
import { SHARED_PHOTO } from '../../domain/share/shared-photo.ts';
import { openClay } from '../../verbs/open-clay.ts';
import type { Book } from '../book.ts';
import { bytesOf } from '../save-file.ts';
import { chosenMixes, liveOf, ownOf } from './chosen-mixes.ts';
import type { Drawer } from './drawer.ts';

/** The clays that were learned, with the blocks they are. */
interface Learned {
  readonly predictor: Predictor;
  readonly basis: Basis;
  readonly clayOf: ReadonlyMap<string, number>;
}

/** What a share file is built from, read once for several files. */
export interface ShareSource {
  readonly studio: Awaited<ReturnType<typeof studioOf>>;
  readonly learned: Learned | undefined;
}

export async function shareSource(book: Book): Promise<ShareSource> {
  return { studio: await studioOf(book), learned: await learnedClays(book) };
}

/** What is read already, and what makes photos small; without that no photo goes along. */
export interface GatherTools {
  readonly source?: ShareSource;
  readonly drawer?: () => Promise<Pick<Drawer, 'photo'>>;
}

/**
 * A share file of some mixes. Built field by field from what may leave: nothing of a record goes along
 * because it is there.
 * Refuses: as `chosenMixes`; more mixes or clays than a file holds -> too-much-to-share (bad-input)
 * Holds:   the same book and choice give the same file
 */
export async function gatherShare(
  book: Book,
  choice: ShareChoice,
  madeWith: string,
  { source, drawer }: GatherTools = {},
): Promise<ShareFile> {
  const { studio, learned } = source ?? (await shareSource(book));
  const { mixes, palette } = await chosenMixes(book, choice.mixes);
  const resolved = mixes.flatMap((mix) => {
    const found = studio.resolver.resolve(mix.id, mix.body.basis);
    return found.status === 'resolved' ? [{ mix, found }] : [];
  });
  const used = new Set(resolved.flatMap(({ found }) => found.blocks.map(({ id }) => id)));
  const curvesOf =
    choice.clays === 'none' || learned === undefined
      ? []
      : [...learned.clayOf.keys()].filter((id) => choice.clays === 'learned' || used.has(id));
  const blocks = [...new Set([...used, ...curvesOf])]
    .flatMap((id) => studio.blocks.get(id) ?? [])
    .toSorted((one, other) => (one.id < other.id ? -1 : 1));
  if (blocks.length > SHARE_LIMITS.clays || resolved.length > SHARE_LIMITS.mixes) {
    throw tooMuch();
  }
  const place = new Map(blocks.map(({ id }, i) => [id, i]));
  const lineIds = [...new Set(blocks.map(({ body }) => body.lineId))];
  const lines = lineIds.flatMap((id) => studio.lines.get(id) ?? []);
  const linePlace = new Map(lines.map(({ id }, i) => [id, i]));
  const coloured = colours(studio, learned);
  const pictures =
    choice.withPhotos && drawer !== undefined
      ? await photosOf(book, studio, resolved, await drawer())
      : undefined;
  const shared = resolved.map(({ mix, found }): ShareMix => {
    const { code, name, basis, tags, note } = mix.body;
    const colour = coloured.of(mix);
    const types = new Set(found.blocks.map(({ id }) => studio.blocks.get(id)!.body.clayType));
    return {
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
      basis,
      parts: partsOfBlocks(found).map(({ blockId, parts }) => ({
        clay: place.get(blockId)!,
        parts: asFound(parts),
      })),
      ...(found.powders.length === 0
        ? {}
        : {
            powders: found.powders.map(({ id, share }) => ({
              name: studio.powders.get(id)?.body.name ?? 'a powder',
              share,
            })),
          }),
      ...(colour === undefined ? {} : { colour }),
      look: lookOf(types),
      ...(choice.withTags && tags !== undefined ? { tags } : {}),
      ...(choice.withNotes && note !== undefined ? { note } : {}),
      ...(choice.withReadings ? readingsOf(coloured.readings(mix)) : {}),
      ...(pictures?.placeOf.has(mix.id) === true ? { photo: pictures.placeOf.get(mix.id)! } : {}),
    };
  });
  const { title, author, link, words, licence } = choice;
  const shown = resolved.map(({ mix }) => mix.id);
  return sealed({
    format: 'kneadwell-share',
    version: 1,
    madeWith,
    title,
    author,
    ...(link === undefined ? {} : { link }),
    ...(words === undefined ? {} : { words }),
    licence,
    lines: lines.map(({ body }) => {
      const { heat, neverExceedC, minutesPer6Mm } = bakingOfLine(body);
      return {
        name: body.name,
        ...(heat === undefined ? {} : { heat }),
        ...(neverExceedC === undefined ? {} : { neverExceedC }),
        ...(minutesPer6Mm === undefined ? {} : { minutesPer6Mm }),
      };
    }),
    clays: blocks.map(({ id, body }) => {
      const line = linePlace.get(body.lineId);
      const lab = coloured.ofBlock(id);
      const { densityGPerCm3, packageG, price } = body;
      return {
        name: body.name,
        ...(line === undefined ? {} : { line }),
        clayType: body.clayType,
        ...(lab === undefined ? {} : { lab }),
        ...(densityGPerCm3 === undefined ? {} : { densityGPerCm3 }),
        ...(choice.withPrices && price !== undefined
          ? { price, ...(packageG === undefined ? {} : { packageG }) }
          : {}),
      };
    }),
    ...(learned === undefined || curvesOf.length === 0
      ? {}
      : { curves: curves(learned, curvesOf, place) }),
    mixes: shared,
    palettes:
      palette === undefined
        ? []
        : [
            {
              name: palette.body.name,
              mixes: palette.body.aims.flatMap(({ mixId }) => {
                const at = shown.indexOf(mixId ?? '');
                return at < 0 ? [] : [at];
              }),
            },
          ],
    ...(pictures === undefined ? {} : { photos: pictures.photos }),
    ...(choice.withWishes ? { wishes: await wishesOf(book, studio) } : {}),
  });
}

/** The photo of the best reading of each mix, made small; one photo may show many mixes. */
async function photosOf(
  book: Book,
  { readings }: Studio,
  resolved: readonly { readonly mix: RecordOf<'mix'> }[],
  drawer: Pick<Drawer, 'photo'>,
) {
  const photos: string[] = [];
  const places = new Map<string, number>();
  const placeOf = new Map<string, number>();
  for (const { mix } of resolved) {
    const [best] = (readings.get(mix.id) ?? [])
      .filter(({ body }) => body.state === 'baked' && body.photoId !== undefined)
      .toSorted(byQuality);
    const id = best?.body.photoId;
    if (id === undefined) continue;
    if (!places.has(id) && photos.length < SHARED_PHOTO.photos) {
      const photo = await book.ports.store.get(id);
      if (photo?.kind !== 'photo' || photo.deletedAt !== undefined) continue;
      const small = await drawer.photo(await bytesOf(book, photo), photo.body.name ?? 'A photo');
      places.set(id, photos.length);
      photos.push(Buffer.from(small).toString('base64'));
    }
    const place = places.get(id);
    if (place !== undefined) placeOf.set(mix.id, place);
  }
  return { photos, placeOf };
}

/** The wish list; what it says of lines goes by name. */
async function wishesOf(book: Book, { lines }: Studio): Promise<readonly ShareWish[]> {
  return (await ownOf(book, 'wish')).slice(0, SHARE_LIMITS.wishes).map(({ body }) => {
    const { name, lab, why, lineId } = body;
    const line = lines.get(lineId ?? '')?.body.name;
    return {
      name,
      lab,
      ...(why === undefined ? {} : { why }),
      ...(line === undefined ? {} : { line }),
    };
  });
}

function curves(learned: Learned, ids: readonly string[], place: ReadonlyMap<string, number>) {
  const inOrder = ids.toSorted((one, other) => place.get(one)! - place.get(other)!);
  const shared: SharedClays = sharedClays(
    learned.predictor,
    inOrder.map((id) => learned.clayOf.get(id)!),
  );
  const written = curvesOfClays(
    shared,
    inOrder.map((id) => place.get(id)!),
  );
  return learned.basis === 'volume' ? written : { ...written, basis: learned.basis };
}

async function studioOf(book: Book) {
  const byId = <R extends { readonly id: string }>(records: readonly R[]) =>
    new Map(records.map((record) => [record.id, record]));
  const blocks = byId(await liveOf(book, 'block'));
  const lines = byId(await liveOf(book, 'line'));
  const mixes = await liveOf(book, 'mix');
  const readings = new Map<string, RecordOf<'reading'>[]>();
  const ofTile = new Map(
    (await liveOf(book, 'tile')).flatMap(({ id, body }) =>
      'id' in body.of ? [[id, body.of.id] as const] : [],
    ),
  );
  for (const reading of await liveOf(book, 'reading')) {
    const of = ofTile.get(reading.body.of.id) ?? reading.body.of.id;
    readings.set(of, [...(readings.get(of) ?? []), reading]);
  }
  return {
    blocks,
    lines,
    readings,
    powders: byId(await liveOf(book, 'powder')),
    resolver: mixResolver(mixGraphOf({ blocks: blocks.values(), lines, mixes })),
  };
}
type Studio = Awaited<ReturnType<typeof studioOf>>;

async function learnedClays(book: Book): Promise<Learned | undefined> {
  const model = newestModelOf(await liveOf(book, 'clay-model'));
  if (model === undefined) return undefined;
  const { predictor, indexOf, basis } = openClay(await bytesOf(book, model), model.body.name);
  const clayOf = new Map(
    model.body.clays.flatMap(({ name, blockId }) => {
      const clay = indexOf.get(clayKey(name));
      return blockId === undefined || clay === undefined ? [] : [[blockId, clay] as const];
    }),
  );
  return { predictor, basis, clayOf };
}

/** The colours of mixes: the best baked reading, else as predicted now, else as predicted when it was saved. */
function colours(studio: Studio, learned: Learned | undefined) {
  const gloss = learned === undefined ? 0 : glossShareOf(learned.predictor.model.geometry);
  const baked = (of: string) =>
    (studio.readings.get(of) ?? [])
      .filter(({ body }) => body.state === 'baked' && labOfReading(body) !== undefined)
      .toSorted(byQuality);
  const predict = (mix: RecordOf<'mix'>) => {
    if (learned === undefined) return undefined;
    const found = studio.resolver.resolve(mix.id, learned.basis);
    if (found.status !== 'resolved') return undefined;
    const parts = partsOfBlocks(found).map(({ blockId, parts }) => ({
      clay: learned.clayOf.get(blockId) ?? -1,
      parts,
    }));
    if (parts.some(({ clay }) => clay < 0)) return undefined;
    return predictViewed(learned.predictor, sharesOfParts(parts), HOUSE_VIEWING);
  };
  return {
    readings: ({ id }: RecordOf<'mix'>) =>
      baked(id).map(({ body }) => rounded(labOfReading(body)!)),
    ofBlock(id: string): Lab | undefined {
      const [best] = baked(id);
      if (best !== undefined) return rounded(labOfReading(best.body)!);
      const clay = learned?.clayOf.get(id);
      if (learned === undefined || clay === undefined) return undefined;
      const alone = [{ clay, share: 1 }];
      return rounded(predictViewed(learned.predictor, alone, HOUSE_VIEWING).lab);
    },
    of(mix: RecordOf<'mix'>): ShareMix['colour'] {
      const [best] = baked(mix.id);
      if (best !== undefined) {
        const { geometry, spread, readingKind, override } = best.body;
        const seen =
          geometry === 'unstated' || override?.lab !== undefined ? gloss : glossShareOf(geometry);
        return {
          lab: rounded(labOfReading(best.body)!),
          from: 'baked',
          plusMinus: twoDigits(Math.max(spread, spreadOfKind(readingKind))),
          gloss: seen,
        };
      }
      const now = predict(mix);
      if (now !== undefined) {
        const { lab, plusMinus } = now;
        return { lab: rounded(lab), from: 'predicted', plusMinus: twoDigits(plusMinus), gloss };
      }
      const then = mix.body.predicted;
      if (then === undefined) return undefined;
      return {
        lab: rounded(then.lab),
        from: 'predicted',
        plusMinus: twoDigits(then.plusMinus),
        gloss,
      };
    },
  };
}

function lookOf(types: ReadonlySet<string>): ShareMix['look'] {
  if (['pearl', 'metallic', 'glitter'].some((type) => types.has(type))) return 'shimmering';
  return types.has('translucent') ? 'see-through' : 'flat';
}

function readingsOf(readings: readonly Lab[]) {
  return readings.length === 0 ? {} : { readings: readings.slice(0, 100) };
}

/** Two digits are finer than any reading. */
function rounded(lab: Lab): Lab {
  return [twoDigits(lab[0]), twoDigits(lab[1]), twoDigits(lab[2])];
}

function twoDigits(value: number): number {
  return Math.round(value * 100) / 100;
}

/** Whole parts as they are, shares to six digits. */
function asFound(parts: number): number {
  return Number.isInteger(parts) ? parts : Number(parts.toPrecision(6));
}

function tooMuch(): AppError {
  return new AppError({
    code: 'too-much-to-share',
    kind: 'bad-input',
    detail: `A share file holds at most ${SHARE_LIMITS.mixes} mixes of ${SHARE_LIMITS.clays} clays.`,
    hint: 'Choose fewer mixes.',
  });
}
