import { acceptPhotosInBook } from '../book/photo/accept-photos.ts';
import { previewOfSaved } from '../book/photo/photo-job.ts';
import { pictureSize } from '../book/picture-size.ts';
import type { BookStep } from '../domain/records/change.ts';
import { contentType } from './content-type.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { Handlers } from './handler.ts';
import { FILE_HEADERS } from './security-headers.ts';

/** A preview is as secret as its photo, and goes when the photo goes. */
const PREVIEW_HEADERS = { ...FILE_HEADERS, 'cache-control': 'private, max-age=3600' };

export function photoHandlers({
  book,
  drafts,
  photoWork,
  imageSize,
}: ServerDependencies): Handlers<
  | 'addPhotoDraft'
  | 'getPhotoDraft'
  | 'dropPhotoDraft'
  | 'draftPreview'
  | 'photoPreview'
  | 'acceptPhotos'
  | 'traySheet'
> {
  return {
    async addPhotoDraft({ body, query }, { request }) {
      const said = contentType(request);
      const { mediaType } = pictureSize(body, said, imageSize);
      const draft = await drafts.add({
        photo: body,
        mediaType,
        fileName: query.fileName ?? 'The photo',
      });
      return { body: draft, headers: { location: `/api/v1/photo-drafts/${draft.id}` } };
    },
    async getPhotoDraft({ params }) {
      return { body: await drafts.get(params.id) };
    },
    async dropPhotoDraft({ params }) {
      await drafts.drop(params.id);
      return { body: undefined };
    },
    async draftPreview({ params }, { reply }) {
      const jpeg = await drafts.preview(params.id);
      reply.headers(PREVIEW_HEADERS).type('image/jpeg');
      return { body: jpeg };
    },
    async photoPreview({ params }, { reply }) {
      const jpeg = await previewOfSaved(book, photoWork, params.id);
      reply.headers(PREVIEW_HEADERS).type('image/jpeg');
      return { body: jpeg };
    },
    async acceptPhotos({ body }, { by, key }) {
      const { steps, ...rest } = body;
      const { group, records, repeated } = await acceptPhotosInBook(book, drafts, imageSize, {
        ...rest,
        steps: steps as readonly BookStep[],
        ...(key === undefined ? {} : { key }),
        ...(by === undefined ? {} : { by }),
      });
      return { body: { group, records, repeated } };
    },
    async traySheet({ query: question }, { reply }) {
      const { bytes } = await photoWork({ verb: 'tray-sheet', question }, {});
      reply
        .headers(FILE_HEADERS)
        .header('cache-control', 'no-store')
        .type('application/pdf')
        .header('content-disposition', `attachment; filename="tray-sheet-${question.paper}.pdf"`);
      return { body: bytes! };
    },
  };
}
