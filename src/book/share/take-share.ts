import { AppError } from '../../core/errors.ts';
import { formatRecipe } from '../../core/notation/notation.ts';
import { sha256Of } from '../../domain/canonical-json.ts';
import { make } from '../../domain/changes/steps.ts';
import { type TakenShare, takeShareSteps } from '../../domain/changes/take-share.ts';
import { newestModelOf } from '../../domain/newest-model.ts';
import { MOST_STEPS } from '../../domain/records/change.ts';
import type { CurvesTaken } from '../../domain/share/curves-in-words.ts';
import { licenceOf } from '../../domain/share/licences.ts';
import type { SeenMix } from '../../domain/share/seen-mix.ts';
import { SHARE_LIMITS, type ShareFile, type ShareMix } from '../../domain/share/share-file.ts';
import { titleOfShared } from '../../domain/share/what-leaves.ts';
import type { Changed } from '../book.ts';
import { allAt, type BookService } from '../book-service.ts';
import { curvesTaken, joinModel, type ModelInUse } from './join-model.ts';

/** What is in a share file, for a look before anything is taken. */
export interface SeenShare {
  readonly title: string;
  readonly author: string;
  readonly link?: string;
  readonly words?: string;
  readonly licence: { readonly name: string; readonly says: string };
  readonly mixes: number;
  readonly clays: number;
  /** Clays of yours among them, by line and name. */
  readonly sameClays: readonly string[];
  readonly newClays: readonly string[];
  /** What becomes of the curves of its clays. */
  readonly curves: CurvesTaken;
  /** The first mixes. */
  readonly some: readonly SeenMix[];
  /** The book has this very file already. */
  readonly there: boolean;
}

/** Mixes that a look shows. */
const MOST_SHOWN = 60;

/** A share file held against the book; nothing changes. */
export async function lookAtShare(service: BookService, file: ShareFile): Promise<SeenShare> {
  const { title, author, link, words, licence, mixes, clays } = file;
  let count = 0;
  const { sameClays, newClays, blockIds } = await stepsFor(service, file, () => `new ${count++}`);
  const record = newestModelOf(await allAt(service, 'clay-model'));
  const curves = curvesTaken(file, blockIds, record === undefined ? undefined : { record });
  const { name, says } = licenceOf(licence);
  return {
    title,
    author,
    ...(link === undefined ? {} : { link }),
    ...(words === undefined ? {} : { words }),
    licence: { name, says },
    mixes: mixes.length,
    clays: clays.length,
    sameClays,
    newClays,
    curves,
    some: mixes.slice(0, MOST_SHOWN).map((mix) => seenMix(file, mix)),
    there: await isThere(service, file),
  };
}

export interface TakenIn extends Omit<TakenShare, 'steps' | 'blockIds' | 'files'> {
  readonly curves: CurvesTaken;
  readonly changed: Changed;
}

/**
 * Takes a share file in as one change that can be undone; nothing that is there changes.
 * Refuses: the same file again -> share-file-there (conflict); what `changeBook` refuses
 */
export async function takeShare(
  service: BookService,
  file: ShareFile,
  newId: () => string,
  call: { readonly key?: string; readonly by?: string } = {},
): Promise<TakenIn> {
  if (await isThere(service, file)) throw there(file);
  const {
    steps: records,
    blockIds,
    files: pictures,
    ...taken
  } = await stepsFor(service, file, newId);
  const { curves, bytes, body } = joinModel(file, blockIds, await modelInUse(service));
  const steps =
    bytes === undefined || body === undefined
      ? records
      : [...records, make('clay-model', { ...body, sha256: sha256Of(bytes), bytes: bytes.length })];
  if (steps.length > MOST_STEPS) throw tooMany(file);
  const what = `Imported ${file.title} by ${file.author}`.slice(0, 300);
  const files = [...pictures, ...(bytes === undefined ? [] : [{ bytes, ending: 'json' }])];
  const changed = await service.changeWithFiles({ what, steps, ...call }, files);
  return { ...taken, curves, changed };
}

async function modelInUse(service: BookService): Promise<ModelInUse | undefined> {
  const record = newestModelOf(await allAt(service, 'clay-model'));
  return record === undefined ? undefined : { record, bytes: await service.clayBytes(record) };
}

async function stepsFor(
  service: BookService,
  file: ShareFile,
  newId: () => string,
): Promise<TakenShare> {
  const mixes = await allAt(service, 'mix');
  return takeShareSteps(file, {
    lines: await allAt(service, 'line'),
    blocks: await allAt(service, 'block'),
    powders: await allAt(service, 'powder'),
    mixCodes: mixes.flatMap(({ body }) => body.code ?? []),
    newId,
  });
}

async function isThere(service: BookService, { seal }: ShareFile): Promise<boolean> {
  return (await allAt(service, 'collection')).some(({ body }) => body.sharedBy?.seal === seal);
}

function seenMix({ clays }: ShareFile, mix: ShareMix): SeenMix {
  const { colour, look, parts } = mix;
  return {
    title: titleOfShared(mix),
    recipe: formatRecipe(parts.map(({ clay, parts }) => ({ clay: clays[clay].name, parts }))),
    look,
    ...(colour === undefined
      ? {}
      : { lab: colour.lab, from: colour.from, plusMinus: colour.plusMinus }),
  };
}

function there({ title, author }: ShareFile): AppError {
  return new AppError({
    code: 'share-file-there',
    kind: 'conflict',
    detail: `Your book already has ${title} by ${author}, from this very file.`,
    hint: 'Nothing was taken. Undo the earlier import first if you want it again.',
  });
}

function tooMany({ title }: ShareFile): AppError {
  return new AppError({
    code: 'share-file-too-large',
    kind: 'bad-input',
    detail: `${title} needs more than ${MOST_STEPS} records, the most that one change may make; a share file of ${SHARE_LIMITS.mixes} mixes with all their readings does.`,
    hint: 'Nothing was taken. Ask the author for two smaller files.',
  });
}
