import { type PhotoRow, rowKey } from './photo-rows.ts';

/** What may spoil a reading: short in the row of a tile, and in full where it is said of several tiles. */
const WORDS: Readonly<Record<string, { readonly short: string; readonly full: string }>> = {
  clipped: {
    short: 'too bright',
    full: 'too bright for the camera, expose less and take the photo again',
  },
  gloss: { short: 'shines', full: 'a part shines, turn the tray against the light' },
  'stamp or dirt': { short: 'stamp or dirt', full: 'dark spots, such as stamps, were left out' },
  'outline not seen': {
    short: 'edge not seen',
    full: 'no visible edge against the table, so the middle was read',
  },
  uneven: { short: 'uneven', full: 'uneven clay, or uneven light' },
  'in shadow': { short: 'in shadow', full: 'in shadow, turn the lamp, or step aside' },
  'light unsure': {
    short: 'light unsure',
    full: 'the light is uneven, so ± is wider; put the chart closer, or use the printed sheet',
  },
  'far from the chart': {
    short: 'far from the chart',
    full: 'colours far from those of the chart, so ± is wider',
  },
  'too strong': { short: 'too strong', full: 'stronger than the photo can hold' },
};

/** From this many tiles on, a doubt is said once above the rows. */
const SEVERAL = 3;

/** A doubt of several tiles: its mark, and a sentence that names the tiles. */
export interface SharedDoubt {
  readonly mark: string;
  readonly sentence: string;
}

/** Doubts that several tiles have in common. */
export function sharedDoubts(
  rows: readonly PhotoRow[],
  severalTrays: boolean,
): readonly SharedDoubt[] {
  const named = new Map<string, string[]>();
  for (const row of rows) {
    for (const mark of marksOf(row)) {
      const name = severalTrays ? rowKey(row.tray, row.name) : row.name;
      named.set(mark, [...(named.get(mark) ?? []), name]);
    }
  }
  return [...named]
    .filter(([mark, names]) => names.length >= SEVERAL && WORDS[mark] !== undefined)
    .map(([mark, names]) => {
      const who =
        names.length === rows.length ? `All ${names.length} tiles` : `Tiles ${inRuns(names)}`;
      return { mark, sentence: `${who}: ${WORDS[mark].full}.` };
    });
}

/** "1–4, 7" for 1, 2, 3, 4 and 7: three or more in a row are joined. */
function inRuns(names: readonly string[]): string {
  const runs: string[][] = [];
  for (const name of names) {
    const run = runs.at(-1);
    if (run !== undefined && Number(name) === Number(run.at(-1)) + 1) run.push(name);
    else runs.push([name]);
  }
  return runs
    .map((run) => (run.length > 2 ? `${run[0]}–${run.at(-1)}` : run.join(', ')))
    .join(', ');
}

/** The doubts of a row in short, without those that are said for several tiles. */
export function shortDoubts(row: PhotoRow, shared: readonly SharedDoubt[]): string {
  const own = marksOf(row).filter(
    (mark) => row.worth === 0 || !shared.some((one) => one.mark === mark),
  );
  const words = own.map((mark) => WORDS[mark]?.short ?? mark);
  return [...words, ...(row.reading.disagree ? ['photos disagree'] : [])].join(', ');
}

function marksOf({ worth, shots }: PhotoRow): readonly string[] {
  return worth === 2 ? [] : [...new Set(shots[0].tile.marks.map(({ mark }) => mark))];
}
