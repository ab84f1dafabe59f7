import { changedRecord } from '../book/book.ts';
import { notInBook } from '../book/errors.ts';
import { pictureSize } from '../book/picture-size.ts';
import { bytesOf, savePhoto } from '../book/save-file.ts';
import type { BookRecord } from '../domain/records/record.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import { contentType } from './content-type.ts';
import type { ServerDependencies } from './dependencies.ts';
import { type HandledRequest, type Handlers, tagMatches, versionTag } from './handler.ts';
import { plainFault } from './problem-answers.ts';
import { FILE_HEADERS } from './security-headers.ts';

type FileRecord = Extract<BookRecord, { kind: 'photo' | 'clay-model' }>;

export function fileHandlers({
  book,
  imageSize,
}: ServerDependencies): Handlers<'savePhoto' | 'photoBytes' | 'clayBytes'> {
  async function send(
    id: string,
    kind: FileRecord['kind'],
    mediaType: (record: FileRecord) => string,
    { request, reply }: HandledRequest,
  ): Promise<{ body: Uint8Array } | undefined> {
    const record = await book.ports.store.get(id);
    if (record === undefined || record.kind !== kind) throw notInBook(id);
    const file = record as FileRecord;
    const tag = `"${file.body.sha256}"`;
    reply.header('etag', tag);
    if (tagMatches(request.headers['if-none-match'], tag)) {
      reply.code(304).send();
      return undefined;
    }
    const bytes = await bytesOf(book, file);
    reply
      .headers(FILE_HEADERS)
      .type(mediaType(file))
      .header('content-disposition', `attachment; filename="${id}.${endingOf(file)}"`);
    return { body: bytes };
  }
  return {
    async savePhoto({ body, query }, { request, by, key }) {
      const said = contentType(request);
      if (!isPhotoType(said)) throw noPhotoType(said);
      const { mediaType, widthPx, heightPx } = pictureSize(body, said, imageSize);
      const { id, ...rest } = query;
      const changed = await savePhoto(book, {
        bytes: body,
        body: { ...rest, mediaType, widthPx, heightPx },
        what: `Saved a photo${rest.name === undefined ? '' : ` ${rest.name}`}`,
        ...(id === undefined ? {} : { id }),
        ...(key === undefined ? {} : { key }),
        ...(by === undefined ? {} : { by }),
      });
      const record = changedRecord(changed);
      return {
        body: record,
        headers: {
          etag: versionTag(record.version),
          location: `/api/v1/records/${record.id}`,
        },
      };
    },
    photoBytes: ({ params }, asked) =>
      send(
        params.id,
        'photo',
        ({ body }) => ('mediaType' in body ? body.mediaType : 'application/octet-stream'),
        asked,
      ),
    clayBytes: ({ params }, asked) =>
      send(params.id, 'clay-model', () => 'application/json', asked),
  };
}

function endingOf(record: FileRecord): string {
  return record.kind === 'photo' ? PHOTO_TYPES[record.body.mediaType] : 'json';
}

function isPhotoType(mediaType: string): mediaType is keyof typeof PHOTO_TYPES {
  return Object.hasOwn(PHOTO_TYPES, mediaType);
}

function noPhotoType(mediaType: string) {
  return plainFault(
    'body-of-other-type',
    'bad-input',
    `${mediaType === '' ? 'No kind' : mediaType.slice(0, 80)} is no kind of photo that is kept.`,
    `Send it as one of ${Object.keys(PHOTO_TYPES).join(', ')}.`,
  );
}
