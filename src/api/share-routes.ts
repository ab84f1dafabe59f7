import { z } from 'zod';
import { cardCall, printCall } from '../domain/share/print-call.ts';
import { shareChoice } from '../domain/share/share-choice.ts';
import { MOST_PHOTO_BYTES } from './clay-routes.ts';
import type { ApiRoutes } from './route.ts';

export const SHARE_ROUTES = {
  previewShare: {
    says: 'What would leave with a share file, and what stays, in words',
    who: 'paired',
    body: shareChoice,
    answer: z.object({
      leaves: z.array(z.string()),
      stays: z.array(z.string()),
      mixes: z.int().min(0),
      bytes: z.int().min(0),
    }),
  },
  makeShare: {
    says: 'The share file itself, see docs/share-file.md',
    who: 'paired',
    body: shareChoice,
    answer: 'bytes',
  },
  makeCard: {
    says: 'A recipe card: a picture of one mix, or pages of several as a PDF',
    who: 'paired',
    body: cardCall,
    answer: 'bytes',
  },
  printSheets: {
    says: 'Labels, a chart of colours, short names, the wish list or a class kit as a PDF in true size',
    who: 'paired',
    body: printCall,
    answer: 'bytes',
  },
  publishPage: {
    says: 'A page of your own: a ZIP archive of plain files for any web host',
    who: 'paired',
    body: shareChoice,
    answer: 'bytes',
  },
  readCard: {
    says: 'The recipe in the code of a card, as a share file; the body is a photo, Content-Type its kind',
    who: 'paired',
    body: 'bytes',
    answer: z.object({ title: z.string(), text: z.string() }),
    mostBytes: MOST_PHOTO_BYTES,
  },
} as const satisfies Partial<ApiRoutes>;
