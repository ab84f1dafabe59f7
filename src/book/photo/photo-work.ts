import type { JobCall } from '../../api/job-routes.ts';
import { type PaperName, traySheet } from '../../core/photo/sheet-layout.ts';
import { READING_DEFAULTS, type Reading } from '../../domain/reading.ts';
import type { DecodedPhoto, PhotoDecoder } from '../../verbs/photo-port.ts';
import type { Ports, Printing, Readers } from '../../verbs/ports.ts';
import { type ReadCall, read } from '../../verbs/read.ts';
import { type ClayWorkDone, notThere, type WorkTools } from '../jobs/clay-work.ts';
import { photoResultFrom } from './photo-result.ts';

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
      readonly paper: PaperName;
      readonly codes: readonly string[];
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
  readonly readings: Readers['readings'];
  readonly printing: Printing;
}

/** Names of no file: those of her files have no blank at their end. */
const BOARD = 'the board ';
const CONTROLS = 'the control tiles ';

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
      const all = photoResultFrom(await read(portsOf(work, tools), callOf(work)));
      return { answer: { photo: all.photos[0], drifts: all.drifts } };
    }
    case 'tray-sheet':
      return {
        answer: {},
        bytes: await tools.printing.traySheet(traySheet(work.paper), work.codes),
      };
  }
}

type ReadWork = Extract<PhotoWork, { verb: 'read-photo' }>;

function callOf({ fileName, call }: ReadWork): ReadCall {
  const { sheet, chart, corners, taps, controls } = call;
  return {
    photos: [fileName],
    sheet: typeof sheet === 'string' ? sheet : BOARD,
    chart: typeof chart === 'string' ? chart : { file: chart.fileName },
    taps,
    ...(corners === undefined ? {} : { corners }),
    ...(controls.length === 0 ? {} : { controls: CONTROLS }),
  };
}

/** What the use case takes for files is what came with the work. */
function portsOf({ fileName, photo, call }: ReadWork, tools: PhotoTools): Ports {
  const text = (what: unknown) => new TextEncoder().encode(what as string);
  const { sheet, chart, controls } = call;
  const nothing = new Uint8Array();
  const at = (path: string): Uint8Array | undefined => {
    if (path === fileName) return photo;
    if (path === BOARD && typeof sheet !== 'string') return text(JSON.stringify(sheet.board));
    if (path === CONTROLS) return nothing;
    return typeof chart !== 'string' && path === chart.fileName ? text(chart.text) : undefined;
  };
  return {
    ...tools,
    // The steps of this one photo are told below.
    progress: () => {},
    files: {
      async read(path) {
        const bytes = at(path);
        if (bytes === undefined) throw notThere(path);
        return bytes;
      },
      write: (path) => Promise.reject(notThere(path)),
      look: async (path) => ({ identity: path, kind: 'nothing' }),
    },
    readers: {
      readings: (bytes, path, basis) =>
        path === CONTROLS
          ? { readings: earlierOf(controls), notes: [] }
          : tools.readings(bytes, path, basis),
      recipes: () => ({ recipes: [] }),
      verdicts: () => [],
      stock: () => [],
    },
    photos: {
      async decode(bytes, name) {
        tools.progress({ what: 'Opening the photo', done: 0, total: 3 });
        const decoded = await tools.decode(bytes, name);
        tools.progress({ what: 'Reading the tiles', done: 1, total: 3 });
        return decoded;
      },
    },
  };
}

function earlierOf(controls: ReadPhotoCall['controls']): readonly Reading[] {
  return controls.flatMap(({ name, earlier }) =>
    earlier.map(({ lab, spread }, i) => ({
      tile: name,
      of: [{ clay: name, parts: 1 }],
      kind: 'measured' as const,
      basis: READING_DEFAULTS.basis,
      state: READING_DEFAULTS.state,
      lab: { values: lab, light: 'D50' as const, observer: 2 as const },
      spread,
      geometry: READING_DEFAULTS.geometryOfLab,
      partsSpread: 0,
      place: { file: CONTROLS, line: i + 1 },
    })),
  );
}
