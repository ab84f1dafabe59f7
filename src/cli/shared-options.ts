import { z } from 'zod';
import { words } from '../verbs/verb.ts';

/** The folder of the book a call means. */
export const folder = z
  .string()
  .exactOptional()
  .meta(
    words({
      option: 'folder',
      value: 'FOLDER',
      help: 'the folder of the book: KNEADWELL_FOLDER when left out, else where your system keeps the data of programs ("kneadwell doctor" names it)',
    }),
  );

/** Of commands that work on a book as well as on files. */
export const onBook = {
  book: z
    .boolean()
    .default(false)
    .meta(
      words({
        option: 'book',
        help: 'works on the mix book: its newest clay model in place of CLAY, its readings in place of files; learn saves the model there, find knows the stock',
      }),
    ),
  folder,
};

/** A file that a command writes. */
export const fileOption = (option: string, example: string, help: string) =>
  z
    .string()
    .min(1)
    .meta(words({ option, value: 'FILE', example, help }));
