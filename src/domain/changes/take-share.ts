import { clayKey } from '../../core/notation/clay-name.ts';
import { codeKey } from '../../core/notation/codes.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { sha256Of } from '../canonical-json.ts';
import type { BookStep } from '../records/change.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import { READING_RANGE } from '../records/reading.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { PHOTO_TYPES } from '../records/sample-bodies.ts';
import type { ShareFile, ShareMix, ShareWish } from '../share/share-file.ts';
import { sharedPhotoFrom } from '../share/shared-photo.ts';
import { make } from './steps.ts';

/** What the book has of lines, blocks and codes, to join with or to keep clear of. */
export interface BookToTakeInto {
  readonly lines: Iterable<Pick<RecordOf<'line'>, 'id' | 'body'>>;
  readonly blocks: Iterable<Pick<RecordOf<'block'>, 'id' | 'body'>>;
  readonly powders: Iterable<Pick<RecordOf<'powder'>, 'id' | 'body'>>;
  /** Codes of live mixes. */
  readonly mixCodes: Iterable<string>;
  readonly newId: (kind: string) => string;
}

export interface TakenShare {
  readonly steps: readonly BookStep[];
  readonly mixes: number;
  /** Clays of the file that the book has already, by name and line. */
  readonly sameClays: readonly string[];
  readonly newClays: readonly string[];
  /** The block that each clay of the file is. */
  readonly blockIds: readonly string[];
  /** Pictures, which come with the records. */
  readonly files: readonly { readonly bytes: Uint8Array; readonly ending: string }[];
}

/**
 * Somebody else's recipes as records, all marked as theirs by one collection.
 * Holds:   no step changes a record that is there; a clay the book knows by line and name is that clay, any
 *          other comes in as one that is not owned; a code that is taken goes into the name
 */
export function takeShareSteps(file: ShareFile, into: BookToTakeInto): TakenShare {
  const { newId } = into;
  const steps: BookStep[] = [];
  const collectionId = newId('collection');
  const mark = { collectionIds: [collectionId] };
  steps.push(make('collection', collectionOf(file), collectionId));
  const lineIds = lines();
  const { ids: clayIds, sameClays, newClays } = clays();
  const powderIds = powders();
  const { photoIds, files } = photos();
  const codes = new Set([...into.mixCodes].map(codeKey));
  for (const mix of file.mixes) addMix(mix);
  for (const wish of file.wishes ?? []) addWish(wish);
  return { steps, mixes: file.mixes.length, sameClays, newClays, blockIds: clayIds, files };

  function lines(): string[] {
    const known = new Map([...into.lines].map(({ id, body }) => [clayKey(body.name), id]));
    return file.lines.map(({ name, heat, neverExceedC, minutesPer6Mm }) => {
      const there = known.get(clayKey(name));
      if (there !== undefined) return there;
      const id = newId('line');
      known.set(clayKey(name), id);
      const body: BodyOf<'line'> = {
        ...mark,
        name,
        status: 'current',
        ...(heat === undefined ? {} : { bakeLowC: heat.lowC, bakeHighC: heat.highC }),
        ...(neverExceedC === undefined ? {} : { neverExceedC }),
        ...(minutesPer6Mm === undefined ? {} : { minutesPer6Mm }),
      };
      steps.push(make('line', body, id));
      return id;
    });
  }

  function clays() {
    const keyOf = (lineId: string, name: string) => `${lineId} ${clayKey(name)}`;
    const known = new Map(
      [...into.blocks].map(({ id, body }) => [keyOf(body.lineId, body.name), id]),
    );
    const sameClays: string[] = [];
    const newClays: string[] = [];
    let unnamedLine: string | undefined;
    const ids = file.clays.map(({ name, line, clayType, lab, densityGPerCm3, price, packageG }) => {
      unnamedLine = line === undefined ? (unnamedLine ?? lineOfAuthor()) : unnamedLine;
      const lineId = line === undefined ? unnamedLine! : itemAt(lineIds, line);
      const there = known.get(keyOf(lineId, name));
      if (there !== undefined) {
        sameClays.push(name);
        return there;
      }
      newClays.push(name);
      const id = newId('block');
      known.set(keyOf(lineId, name), id);
      steps.push(
        make(
          'block',
          {
            ...mark,
            lineId,
            name,
            clayType,
            status: 'not owned',
            ...(densityGPerCm3 === undefined ? {} : { densityGPerCm3 }),
            ...(price === undefined ? {} : { price }),
            ...(packageG === undefined ? {} : { packageG }),
          },
          id,
        ),
      );
      if (lab !== undefined) {
        steps.push(
          make('reading', {
            ...mark,
            of: { kind: 'block', id },
            ...borrowed(lab, 0.5),
            spread: SPREAD_OF_CLAY,
          }),
        );
      }
      return id;
    });
    return { ids, sameClays, newClays };
  }

  function lineOfAuthor(): string {
    const id = newId('line');
    const name = `Clays of ${file.author}`.slice(0, BOOK_LIMITS.name);
    steps.push(make('line', { ...mark, name, status: 'current' }, id));
    return id;
  }

  function powders(): ReadonlyMap<string, string> {
    const ids = new Map([...into.powders].map(({ id, body }) => [clayKey(body.name), id]));
    for (const { powders = [] } of file.mixes) {
      for (const { name } of powders) {
        if (ids.has(clayKey(name))) continue;
        const id = newId('powder');
        ids.set(clayKey(name), id);
        steps.push(make('powder', { ...mark, name, powderType: 'other', status: 'current' }, id));
      }
    }
    return ids;
  }

  function photos() {
    const files: { bytes: Uint8Array; ending: string }[] = [];
    const photoIds = (file.photos ?? []).map((base64) => {
      const { bytes, ...size } = sharedPhotoFrom(base64)!;
      const id = newId('photo');
      const name = `${file.title}, by ${file.author}`.slice(0, BOOK_LIMITS.name);
      const mediaType = 'image/jpeg' as const;
      steps.push(
        make(
          'photo',
          { ...mark, name, mediaType, sha256: sha256Of(bytes), bytes: bytes.length, ...size },
          id,
        ),
      );
      files.push({ bytes, ending: PHOTO_TYPES[mediaType] });
      return id;
    });
    return { photoIds, files };
  }

  function addMix(mix: ShareMix): void {
    const id = newId('mix');
    const { basis, parts, powders, colour, tags, note, readings = [] } = mix;
    const predicted =
      colour?.from === 'predicted'
        ? { predicted: { lab: colour.lab, plusMinus: colour.plusMinus } }
        : {};
    steps.push(
      make(
        'mix',
        {
          ...mark,
          ...titles(mix),
          basis,
          status: 'saved',
          parts: parts.map((part) => ({
            of: { kind: 'block', id: itemAt(clayIds, part.clay) },
            parts: part.parts,
          })),
          ...(powders === undefined ? {} : { powders: powdersOf(powders) }),
          ...(tags === undefined ? {} : { tags }),
          ...(note === undefined ? {} : { note }),
          ...predicted,
          ...(colour === undefined ? {} : { wanted: { lab: colour.lab } }),
        },
        id,
      ),
    );
    const photoId = mix.photo === undefined ? undefined : photoIds[mix.photo];
    if (colour?.from === 'baked') {
      addReading(id, colour.lab, colour.gloss, colour.plusMinus, photoId);
    }
    for (const lab of readings) {
      const shown = colour?.lab;
      if (shown !== undefined && lab.every((v, i) => v === shown[i])) continue;
      addReading(id, lab, colour?.gloss ?? 0, colour?.plusMinus ?? SPREAD_OF_CLAY);
    }
  }

  /** A line that the book does not know goes into the reason. */
  function addWish({ name, lab, why, line }: ShareWish): void {
    const known = [...into.lines].find(({ body }) => clayKey(body.name) === clayKey(line ?? ''));
    const at = line === undefined ? -1 : file.lines.findIndex((one) => one.name === line);
    const lineId = known?.id ?? lineIds[at];
    const said = [why, lineId === undefined && line !== undefined ? `for ${line}` : undefined]
      .filter((text) => text !== undefined)
      .join('; ')
      .slice(0, BOOK_LIMITS.name);
    steps.push(
      make('wish', {
        ...mark,
        name,
        lab,
        ...(said === '' ? {} : { why: said }),
        ...(lineId === undefined ? {} : { lineId }),
      }),
    );
  }

  function powdersOf(powders: NonNullable<ShareMix['powders']>) {
    const shares = new Map<string, number>();
    for (const { name, share } of powders) {
      const powderId = powderIds.get(clayKey(name))!;
      shares.set(powderId, (shares.get(powderId) ?? 0) + share);
    }
    return [...shares].map(([powderId, share]) => ({ powderId, share }));
  }

  function addReading(
    id: string,
    lab: readonly [number, number, number],
    gloss: number,
    spread: number,
    photoId?: string,
  ): void {
    steps.push(
      make('reading', {
        ...mark,
        of: { kind: 'mix', id },
        ...borrowed(lab, gloss),
        ...(photoId === undefined ? {} : { photoId }),
        spread: Math.min(READING_RANGE.spread[1], Math.max(SPREAD_OF_CLAY, spread)),
      }),
    );
  }

  /** The code goes where it is free, else with the name. */
  function titles({ code, name }: ShareMix): { readonly code?: string; readonly name?: string } {
    if (code === undefined) return { name: name! };
    if (!codes.has(codeKey(code))) {
      codes.add(codeKey(code));
      return { code, ...(name === undefined ? {} : { name }) };
    }
    return { name: [name, code].filter(Boolean).join(' ').slice(0, BOOK_LIMITS.name) };
  }

  function borrowed(lab: readonly [number, number, number], gloss: number) {
    return {
      readingKind: 'borrowed',
      state: 'baked',
      lab: { values: lab, light: 'D50', observer: 2 },
      geometry: gloss === 1 ? 'included' : gloss === 0 ? 'excluded' : 'unstated',
      source: `shared by ${file.author}`.slice(0, BOOK_LIMITS.name),
    } as const;
  }
}

/** No colour of another book is surer than this, CIELAB an axis. */
const SPREAD_OF_CLAY = 1;

/** The collection that marks what somebody else shared. */
function collectionOf(file: ShareFile): BodyOf<'collection'> {
  const { title, author, link, words, licence, seal } = file;
  return {
    name: `${title}, by ${author}`.slice(0, BOOK_LIMITS.tag).trim(),
    sharedBy: {
      title,
      author,
      ...(link === undefined ? {} : { link }),
      ...(words === undefined ? {} : { words }),
      licence,
      seal,
    },
  };
}
