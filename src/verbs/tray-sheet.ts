import { z } from 'zod';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { traySheetLayout as layoutOf, PAPERS } from '../core/photo/sheet-layout.ts';
import { code } from '../domain/records/pieces.ts';
import { sheetLayoutSchema } from '../domain/records/sheet-layout.ts';
import { verb, words } from './verb.ts';

export const traySheetQuestion = z.strictObject({
  paper: z
    .enum(PAPERS)
    .default('A4')
    .meta(words({ option: 'paper', value: 'NAME', help: 'size of the paper' })),
  codes: z
    .array(code)
    .max(60)
    .default([])
    .meta(
      words({
        option: 'codes',
        value: '"A, B"',
        noun: 'code',
        help: 'codes to print beside places 1, 2, ...',
      }),
    ),
});
export type TraySheetQuestion = z.output<typeof traySheetQuestion>;

const traySheetAnswer = z.object({
  layout: sheetLayoutSchema,
  /** Codes beside the places, in their order. */
  codes: z.array(z.string()),
  /** Codes for which the sheet has no place. */
  leftOver: z.array(z.string()),
});
export type TraySheetAnswer = z.output<typeof traySheetAnswer>;

/** The sheet to lay tiles on for a photo; a shell prints the layout. */
export const traySheet = verb({
  name: 'tray-sheet',
  asks: 'What do I lay my tiles on for the photo?',
  question: traySheetQuestion,
  answer: traySheetAnswer,
  *run(_: unknown, { paper, codes }: TraySheetQuestion): WorkSteps<TraySheetAnswer> {
    return yield* once('laying out the sheet', () => {
      const layout = layoutOf(paper);
      const places = layout.places.length;
      return { layout, codes: codes.slice(0, places), leftOver: codes.slice(places) };
    });
  },
});
