import type { JobCall } from '../../api/job-routes.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { SheetLayout } from '../../core/photo/sheet-layout.ts';
import type { Reading } from '../../domain/records/reading.ts';
import type { DecodedPhoto, PhotoDecoder } from '../../verbs/photo-port.ts';
import { read } from '../../verbs/read.ts';
import { chartFrom } from '../../verbs/read-files.ts';
import { type TraySheetQuestion, traySheet } from '../../verbs/tray-sheet.ts';
import { asked } from '../../verbs/verb.ts';
import { type ClayWorkDone, plainJson, type WorkTools } from '../clay-work.ts';

type ReadPhotoCall = Extract<JobCall, { do: 'read-photo' }>;

/** Heavy work on photos, whole in itself, so that any thread can do it. */
export type PhotoWork =
  | { readonly verb: 'look-at-photo'; readonly fileName: string; readonly photo: Uint8Array }
  | {
      readonly verb: 'read-photo';
      readonly fileName: string;
      readonly photo: Uint8Array;
      readonly call: Omit<ReadPhotoCall, 'do' | 'photo'>;
    }
  | {
      readonly verb: 'tray-sheet';
      readonly question: TraySheetQuestion;
    };

const VERBS: readonly string[] = [
  'look-at-photo',
  'read-photo',
  'tray-sheet',
] satisfies PhotoWork['verb'][];

export function isPhotoWork(work: { readonly verb: string }): work is PhotoWork {
  return VERBS.includes(work.verb);
}

/** What photo work needs of the thread it is done on. */
export interface PhotoTools extends WorkTools {
  readonly decode: PhotoDecoder['decode'];
  /** Small, upright, in sRGB, as JPEG. */
  readonly preview: (
    decoded: DecodedPhoto,
  ) => Promise<{ readonly jpeg: Uint8Array; readonly widthPx: number; readonly heightPx: number }>;
  readonly readings: (
    bytes: Uint8Array,
    fileName: string,
    basis: Basis,
  ) => { readonly readings: readonly Reading[] };
  readonly printing: {
    traySheet(layout: SheetLayout, codes: readonly string[]): Promise<Uint8Array>;
  };
}

/** Does it through the use cases the command line has. Refuses: as they do */
export async function doPhotoWork(work: PhotoWork, tools: PhotoTools): Promise<ClayWorkDone> {
  switch (work.verb) {
    case 'look-at-photo': {
      const decoded = await tools.decode(work.photo, work.fileName);
      const { jpeg, ...preview } = await tools.preview(decoded);
      const { width, height } = decoded.picture;
      return {
        answer: { widthPx: width, heightPx: height, preview, notes: decoded.notes },
        bytes: jpeg,
      };
    }
    case 'read-photo': {
      const { photo, fileName, call } = work;
      tools.progress({ what: 'Opening the photo', done: 0, total: 3 });
      const decoded = await tools.decode(photo, fileName);
      const progress = () => tools.progress({ what: 'Reading the tiles', done: 1, total: 3 });
      const question = { ...call, chart: chartOf(call.chart, tools.readings) };
      const { answer, workMs } = await asked(
        read.ask({ file: fileName, photo: decoded }, question),
        { ...tools, progress },
      );
      const { photo: result, drifts } = answer;
      return { answer: plainJson({ photo: { ...result, readMs: Math.round(workMs) }, drifts }) };
    }
    case 'tray-sheet': {
      const { answer } = await asked(traySheet.run(undefined, work.question), tools);
      const { layout, codes } = answer;
      return { answer: plainJson(answer), bytes: await tools.printing.traySheet(layout, codes) };
    }
  }
}

/** A chart of one's own comes as the text of a file of readings. */
function chartOf(chart: ReadPhotoCall['chart'], readingsIn: PhotoTools['readings']) {
  if (typeof chart === 'string') return chart;
  const bytes = new TextEncoder().encode(chart.text);
  return { labs: chartFrom(readingsIn(bytes, chart.fileName, 'volume').readings, chart.fileName) };
}
