import { client } from '../book/client.ts';
import { photoMediaType } from '../photo/photo-media-type.ts';

/**
 * The picture of a photo file. What this browser cannot open (HEIC, TIFF), Kneadwell opens for it.
 * Refuses: a file that is no photo, as the book says it
 */
export async function photoBitmap(file: File): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(file);
  } catch {
    return createImageBitmap(await openedByKneadwell(file));
  }
}

async function openedByKneadwell(file: File): Promise<Blob> {
  const fileName = file.name.trim().slice(0, 200) || 'The photo';
  const { body } = await client.call(
    'addPhotoDraft',
    { query: { fileName }, body: file },
    { mediaType: photoMediaType(file) },
  );
  const params = { id: body.id };
  try {
    const preview = await client.call('draftPreview', { params });
    return new Blob([preview.body as BlobPart], { type: 'image/jpeg' });
  } finally {
    // Nothing waits for this draft; the book also drops it by itself after a while.
    client.call('dropPhotoDraft', { params }).catch(() => {});
  }
}
