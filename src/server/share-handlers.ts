import type { FastifyReply } from 'fastify';
import { gatherShare } from '../book/share/gather-share.ts';
import { fileNameOf, makeCards } from '../book/share/make-card.ts';
import type { TranslateWith } from '../book/share/other-lines.ts';
import { printSheets } from '../book/share/print-sheets.ts';
import { itemAt } from '../core/numeric/pairs.ts';
import { shareFromPayload } from '../domain/share/recipe-payload.ts';
import { bytesFromShare } from '../domain/share/share-codec.ts';
import { whatLeaves } from '../domain/share/what-leaves.ts';
import { buildSite } from '../domain/site/build-site.ts';
import type { Translated } from '../verbs/translate.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { Handlers } from './handler.ts';
import { plainFault } from './problem-answers.ts';
import { FILE_HEADERS } from './security-headers.ts';

export function shareHandlers({
  book,
  version,
  work,
  sharing,
}: ServerDependencies): Handlers<
  'previewShare' | 'makeShare' | 'makeCard' | 'printSheets' | 'publishPage' | 'readCard'
> {
  const madeWith = `kneadwell ${version}`;
  const translateWith: TranslateWith = async (clay, question) =>
    (await work({ verb: 'translate', clay, question }, {})).answer.translated as Translated[];
  const download = (reply: FastifyReply, type: string, name: string) =>
    reply
      .headers(FILE_HEADERS)
      .type(type)
      .header('content-disposition', `attachment; filename="${name}"`);
  return {
    async makeCard({ body }, { reply }) {
      const { as, size, paper, others, ...choice } = body;
      const drawer = await sharing.drawer();
      const call = { choice, as, size, paper, others };
      const most = as === 'pdf' ? undefined : 1;
      const cards = await makeCards(book, call, madeWith, drawer, translateWith, most);
      const card = itemAt(cards, 0);
      download(reply, CARD_TYPES[as], `${fileNameOf(card.title)}.${as}`);
      return { body: card.bytes };
    },
    async printSheets({ body }, { reply }) {
      const bytes = await printSheets(book, body, madeWith, await sharing.drawer());
      download(reply, 'application/pdf', `${body.what}.pdf`);
      return { body: bytes };
    },
    async publishPage({ body }, { reply }) {
      const file = await gatherShare(book, { ...body, clays: 'learned' }, madeWith);
      const bytes = await sharing.zipped(buildSite(file, await sharing.siteParts()));
      download(reply, 'application/zip', 'my-page.zip');
      return { body: bytes };
    },
    async readCard({ body }) {
      const text = await sharing.readQr(body);
      if (text === undefined) throw noCode();
      const file = shareFromPayload(text);
      const written = new TextDecoder().decode(bytesFromShare(file));
      return { body: { title: file.title, text: written } };
    },
    async previewShare({ body: choice }) {
      const file = await gatherShare(book, choice, madeWith, { drawer: sharing.drawer });
      const { leaves, stays } = whatLeaves(file);
      const bytes = bytesFromShare(file).length;
      return { body: { leaves, stays, mixes: file.mixes.length, bytes } };
    },
    async makeShare({ body: choice }, { reply }) {
      const file = await gatherShare(book, choice, madeWith, { drawer: sharing.drawer });
      reply
        .headers(FILE_HEADERS)
        .type('application/json; charset=utf-8')
        .header('content-disposition', 'attachment; filename="recipes.share.json"');
      return { body: bytesFromShare(file) };
    },
  };
}

const CARD_TYPES = {
  png: 'image/png',
  svg: 'image/svg+xml; charset=utf-8',
  pdf: 'application/pdf',
} as const;

function noCode() {
  return plainFault(
    'card-unreadable',
    'bad-input',
    'No code of a recipe card can be read in this photo.',
    'Photograph the code again, straight from above and in good light.',
  );
}
