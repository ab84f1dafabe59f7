import { addBlocksSteps } from '../../../domain/changes/add-blocks.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { newId, sendChange } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import type { BlockDrafts, Draft } from './block-drafts.ts';

type Lines = readonly { readonly id: string; readonly body: BodyOf<'line'> }[];

/** Saves the drafts as blocks of the book, each with its rough colour, in one change. */
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
  const how = tapped === drafts.length ? ' from a photo' : tapped === 0 ? ' by eye' : '';
  await sendChange(
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

/** The place in the saved photo, or the name of a photo that is no longer open. */
function tappedIn({ picture, patch }: Draft, photoIds: ReadonlyMap<string, string>) {
  if (picture === undefined || patch === undefined) return {};
  const photoId = photoIds.get(picture.key);
  return {
    tapped: photoId === undefined ? { source: picture.name } : { photoId, region: patch.region },
  };
}

/** Photos saved already, in case their blocks have to be sent again. */
const photosSaved = new WeakMap<File, string>();

/** Saves the photo; if that fails, its readings are saved without it. */
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
