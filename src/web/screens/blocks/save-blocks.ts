import { KIND_WIDTHS } from '../../../domain/reading-kind.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { changeBook, make, newId } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import type { BlockDrafts, Draft } from './block-drafts.ts';

type Lines = readonly { readonly id: string; readonly body: BodyOf<'line'> }[];

/** Blocks begun become blocks of the book, each with its rough colour, in one change. */
export async function saveBlocks(
  begun: BlockDrafts,
  lines: Lines,
  files: ReadonlyMap<string, File>,
): Promise<void> {
  const { drafts } = begun;
  const photoIds = new Map<string, string>();
  for (const key of new Set(drafts.flatMap(({ picture }) => picture?.key ?? []))) {
    const file = files.get(key);
    const id = file === undefined ? undefined : await savedPhoto(file);
    if (id !== undefined) photoIds.set(key, id);
  }
  const tapped = drafts.filter(({ picture }) => picture !== undefined).length;
  const how = tapped === drafts.length ? ' from a picture' : tapped === 0 ? ' by eye' : '';
  await changeBook(
    drafts.length === 1
      ? `Added the block ${drafts[0].name.trim()}`
      : `Added ${drafts.length} blocks${how}`,
    stepsOf(begun, lines, photoIds),
  );
}

function stepsOf(
  { drafts, state, line }: BlockDrafts,
  lines: Lines,
  photoIds: ReadonlyMap<string, string>,
): BookStep[] {
  const lineName = line.trim() === '' ? 'My clays' : line.trim();
  const known = lines.find(({ body }) => body.name.toLowerCase() === lineName.toLowerCase());
  const lineId = known?.id ?? newId('line');
  const steps: BookStep[] =
    known === undefined ? [make('line', { name: lineName, status: 'current' }, lineId)] : [];
  for (const draft of drafts) {
    const { name, clayType, lab } = draft;
    const id = newId('block');
    const readingKind = draft.picture === undefined ? 'by eye' : 'rough';
    steps.push(make('block', { lineId, name: name.trim(), clayType, status: 'current' }, id));
    steps.push(
      make('reading', {
        of: { kind: 'block', id },
        readingKind,
        state,
        lab: { values: [...lab] as [number, number, number], light: 'D50', observer: 2 },
        spread: KIND_WIDTHS[readingKind].spread,
        geometry: 'excluded',
        ...whereFrom(draft, photoIds),
      }),
    );
  }
  return steps;
}

/** The place in the kept picture; of a picture that is not at hand any more, its name. */
function whereFrom({ picture, patch }: Draft, photoIds: ReadonlyMap<string, string>) {
  if (picture === undefined || patch === undefined) return {};
  const photoId = photoIds.get(picture.key);
  return photoId === undefined ? { source: picture.name } : { photoId, region: patch.region };
}

/** Pictures kept before, should what belongs to them have to be sent again. */
const photosKept = new WeakMap<File, string>();

/** The picture is kept beside its readings; where it cannot be, the readings stand without it. */
async function savedPhoto(file: File): Promise<string | undefined> {
  const before = photosKept.get(file);
  if (before !== undefined) return before;
  try {
    const { body } = await client.call(
      'savePhoto',
      { query: { fileName: file.name }, body: file },
      { mediaType: file.type },
    );
    const { id } = body as { id: string };
    photosKept.set(file, id);
    return id;
  } catch {
    return undefined;
  }
}
