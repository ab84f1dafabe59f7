import { setImmediate } from 'node:timers/promises';
import type { CliShell } from '../cli/shell.ts';
import { screenFrom } from '../cli/terminal-output.ts';
import { readReadings } from '../formats/readings.ts';
import { readRecipesCsv } from '../formats/recipes-csv.ts';
import { readStockCsv } from '../formats/stock-csv.ts';
import { readVerdictsCsv } from '../formats/verdicts-csv.ts';
import type { ProgressReport } from '../verbs/progress.ts';
import { diskFiles } from './disk-files.ts';

/** Progress is drawn at most this often, ms. */
const DRAW_EVERY = 100;
const CLEAR_LINE = '\r\u001b[2K';

/** The terminal, disk and clock of this machine, joined to the command line. */
export function terminalShell(version: string): CliShell {
  const { stdout, stderr } = process;
  let drawn = false;
  let drawnAt = Number.NEGATIVE_INFINITY;
  const progress = ({ what, done, total }: ProgressReport) => {
    const now = performance.now();
    if (!stderr.isTTY || now - drawnAt < DRAW_EVERY) return;
    const share = done === undefined || !total ? '' : ` ${Math.floor((100 * done) / total)} %`;
    stderr.write(`${CLEAR_LINE}${what}${share}`);
    drawn = true;
    drawnAt = now;
  };
  let stopping: boolean | undefined;
  /** From the first question on, Ctrl-C asks long work to end with what it has; twice ends all. */
  const stopped = () => {
    if (stopping === undefined) {
      stopping = false;
      process.once('SIGINT', () => {
        stopping = true;
      });
    }
    return stopping;
  };
  const shell: CliShell = {
    ports: {
      stopped,
      files: diskFiles(),
      readers: {
        readings: readReadings,
        recipes: readRecipesCsv,
        verdicts: readVerdictsCsv,
        stock: readStockCsv,
      },
      // Engines for pictures and print are large: they are loaded when a call wants them.
      photos: {
        decode: async (bytes, fileName) =>
          (await import('../imaging/decode-photo.ts')).decodePhoto(bytes, fileName),
      },
      printing: {
        traySheet: async (layout, codes) =>
          (await import('../formats/tray-sheet-pdf.ts')).traySheetPdf(layout, codes),
      },
      nowMs: () => performance.now(),
      progress,
      breathe: () => setImmediate(),
      optimiser: async () => (await import('../solver/highs-optimiser.ts')).highsOptimiser(),
      madeWith: `kneadwell ${version}`,
    },
    screen: screenFrom(process.env, stdout.isTTY === true),
    out: (text) => stdout.write(text),
    err: (text) => stderr.write(text),
    clearProgress: () => {
      if (drawn) stderr.write(CLEAR_LINE);
      drawn = false;
    },
    version,
    book: async () => (await import('./book-shell.ts')).bookShell(shell),
  };
  return shell;
}
