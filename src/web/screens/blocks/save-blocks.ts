import { addBlocksSteps } from '../../../domain/changes/add-blocks.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { changeBook, newId } from '../../book/change.ts';
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
    addBlocksSteps({
      blocks: drafts.map((draft) => ({ ...draft, ...tappedIn(draft, photoIds) })),
      state: begun.state,
      line: begun.line,
      lines,
      newId,
    }),
  );
}

/** The place in the saved picture; of a picture that is not at hand any more, its name. */
function tappedIn({ picture, patch }: Draft, photoIds: ReadonlyMap<string, string>) {
  if (picture === undefined || patch === undefined) return {};
  const photoId = photoIds.get(picture.key);
  return {
    tapped: photoId === undefined ? { source: picture.name } : { photoId, region: patch.region },
  };
}

/** Pictures saved before, for when the rest has to be sent again. */
const photosSaved = new WeakMap<File, string>();

/** Saves the picture beside its readings; where that fails, the readings are saved without a picture. */
async function savedPhoto(file: File): Promise<string | undefined> {
  const before = photosSaved.get(file);
  if (before !== undefined) return before;
  try {
    const { body } = await client.call(
      'savePhoto',
      { query: { fileName: file.name }, body: file },
      { mediaType: file.type },
    );
    photosSaved.set(file, body.id);
    return body.id;
  } catch {
    return undefined;
  }
}
