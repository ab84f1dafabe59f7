import { z } from 'zod';
import { RULER_MM } from '../core/photo/sheet-layout.ts';
import { bytesFromClayFile } from '../domain/clay-file-codec.ts';
import { learnedSince, olderClay } from '../verbs/changes-since.ts';
import { learn } from '../verbs/learn.ts';
import { nearest } from '../verbs/nearest.ts';
import { layoutsOf, overAll, type ReadOne, readingOne } from '../verbs/photo-tiles.ts';
import { mixSchema } from '../verbs/question-parts.ts';
import { read } from '../verbs/read.ts';
import { readingsFromPhotos } from '../verbs/readings-from-photos.ts';
import { traySheet } from '../verbs/tray-sheet.ts';
import { asked, words } from '../verbs/verb.ts';
import { THE_BOOK } from './ask-clay.ts';
import { command, noOperands } from './command.ts';
import type { Command } from './command-parts.ts';
import { beforePath, modelBefore, modelBeforeInBook, restoreModelBefore } from './model-before.ts';
import { unreadableCall } from './options.ts';
import type { Ports } from './ports.ts';
import { checkOut, sourceFromBook, sourcesFromFiles } from './readings-sources.ts';
import { fileOption, onBook } from './shared-options.ts';
import { learnedJson, learnedText, type Saved } from './show-learn.ts';
import { nearestJson, nearestText } from './show-nearest.ts';
import { readJson, readText } from './show-read.ts';
import { counted, plain } from './terminal-output.ts';

async function backToBefore(out: string | undefined, json: boolean, ports: Ports) {
  if (out === undefined || out === THE_BOOK) {
    throw unreadableCall(
      'Which clay file? Name it with --out. In the mix book, "kneadwell undo" takes an update back.',
      learn.name,
    );
  }
  await restoreModelBefore(ports, out);
  const before = beforePath(out);
  return json
    ? `${JSON.stringify({ out, before })}\n`
    : `${plain(out)} is the model before the update again. The update is saved as ${plain(before)}.\n`;
}

/** Commands that start from readings, photos or nothing. */
export const READINGS_COMMANDS: readonly Command[] = [
  command({
    name: learn.name,
    usage: 'learn READINGS... --out FILE',
    asks: learn.asks,
    about:
      'Reads tiles from files of readings (CSV, or CGATS as instruments write it) and writes a clay file: what every clay absorbs and scatters, and how certain that is. Only baked tiles are learned from; what was left aside is listed, and why. Files of readings for one model count parts one way; the tiles of a book are converted by the densities of its clays.',
    options: z.strictObject({
      out: fileOption(
        'out',
        'clay.json',
        'the clay file to write; one that is there is replaced as a whole',
      ).exactOptional(),
      since: fileOption(
        'since',
        'old.json',
        'an older clay file: say what changed since. It is compared, not learned from; when left out, the file that --out replaces',
      ).exactOptional(),
      check: z
        .boolean()
        .default(false)
        .meta(words({ option: 'check', help: 'only say what would change; nothing is written' })),
      useBefore: z
        .boolean()
        .default(false)
        .meta(
          words({
            option: 'use-before',
            help: 'puts the model before the last update back in place of --out; once more brings the update back',
          }),
        ),
      question: learn.question,
      ...onBook,
    }),
    json: `{"out", "basis", "readings", "tiles", "clays", "leftAside", "notes", "report", "explanations", "changes": {"since",
      "added", "gone", "moved", "surprising", "surer", "lessSure", "awayFromTile", "contradicting"}}; changes
      where there is an older model`,
    after:
      'Learning keeps the light each reading was made under. A clay file that --out replaces is saved beside it, as clay.before.json.',
    async answer({ options, operands, json }, shell) {
      const { ports } = shell;
      const { since, book, question, check } = options;
      if (options.useBefore) return backToBefore(options.out, json, ports);
      if (operands.length === 0 && !book) {
        throw unreadableCall('Which readings? Name at least one file.', learn.name);
      }
      const out = options.out ?? (book ? THE_BOOK : undefined);
      if (out === undefined) {
        throw unreadableCall('--out is missing, for example --out clay.json.', learn.name);
      }
      if (out !== THE_BOOK) await checkOut(ports, operands, out);
      const books = book ? (await shell.book()).books : undefined;
      const folder = books?.folderOf(options.folder) ?? '';
      const sources = [
        ...(books === undefined ? [] : [await sourceFromBook(books, folder, question.basis)]),
        ...(await sourcesFromFiles(ports, operands, question.basis)),
      ];
      const before =
        books === undefined || out !== THE_BOOK
          ? await modelBefore(ports, out)
          : await books.lookAt(folder, modelBeforeInBook);
      const older =
        since === undefined ? before?.clay : olderClay(await ports.files.read(since), since);
      const subject = { sources, madeWith: ports.madeWith };
      const { answer } = await learnedSince(subject, older, since !== undefined, (compared) =>
        asked(learn.run(compared, question), ports),
      );
      const bytes = bytesFromClayFile(answer.file);
      const saved: Saved = { out, check, replaced: before !== undefined };
      if (check) return json ? `${learnedJson(answer, saved)}\n` : learnedText(answer, saved);
      if (out !== THE_BOOK) {
        if (before !== undefined) await ports.files.write(beforePath(out), before.bytes);
        await ports.files.write(out, bytes);
      } else {
        const learnedOn = books?.today() ?? '';
        const learned = { bytes, learnedOn, name: `Learned on ${learnedOn}` };
        await books?.throughService(folder, false, (service) => service.saveLearned(learned));
      }
      return json ? `${learnedJson(answer, saved)}\n` : learnedText(answer, saved);
    },
  }),
  command({
    name: nearest.name,
    usage: 'nearest AIM --in READINGS',
    asks: nearest.asks,
    about: 'Only baked tiles are compared; readings of one tile count as their mean.',
    options: z.strictObject({
      question: nearest.question,
      in: z
        .array(z.string())
        .default([])
        .meta(
          words({
            option: 'in',
            value: 'READINGS',
            reads: 'colour',
            help: 'a file of readings (CSV, or CGATS as instruments write it)',
          }),
        ),
      ...onBook,
    }),
    json: `{"aim", "tiles": [{"tile", "of", "verdict", "dE00", "plusMinus", "lab", "readings", "file",
      "line"}], "beyond", "compared", "raw", "notes"}; verdict is same, match, close, family or different;
      beyond is the closest when no tile is within the bound`,
    refuses: (given) =>
      given.length === 1
        ? undefined
        : given.length === 0
          ? 'Which colour? Give one, like 60,-20,20 or "#8a9b6c".'
          : `One colour is looked for at a time, and ${given.length} were given.`,
    async answer({ options, json }, shell) {
      const { question, book, folder } = options;
      if (options.in.length === 0 && !book) {
        throw unreadableCall('--in is missing, for example --in readings.csv.', nearest.name);
      }
      const books = book ? (await shell.book()).books : undefined;
      const sources = [
        ...(books === undefined ? [] : [await sourceFromBook(books, books.folderOf(folder))]),
        ...(await sourcesFromFiles(shell.ports, options.in, question.basis)),
      ];
      const subject = {
        readings: sources.flatMap(({ readings }) => readings),
        notes: sources.flatMap(({ notes }) => notes),
      };
      const { answer } = await asked(nearest.run(subject, question), shell.ports);
      return json ? `${nearestJson(answer)}\n` : nearestText(answer, question, shell.screen);
    },
  }),
  command({
    name: read.name,
    usage: 'read PHOTO...',
    asks: read.asks,
    about:
      'Reads JPEG, PNG, TIFF, WebP and HEIC of up to 100 megapixels. Nothing is saved without --out.',
    options: z.strictObject({
      question: read.question,
      tiles: z
        .array(mixSchema)
        .exactOptional()
        .meta(
          words({
            help: '',
            file: {
              option: 'tiles',
              holds: 'recipes',
              help: 'a CSV file with a column "of": what is in places 1, 2, 3 ...',
            },
          }),
        ),
      out: fileOption(
        'out',
        'readings.csv',
        'write the readings as a CSV file that "kneadwell learn" takes; poor ones are left out',
      ).exactOptional(),
    }),
    json: `{"photos": [{"file", "sheet", "chart", "rough", "tiles", "sharedCov", "tells", "emptyPlaces",
      "notes", "kind", "bits", "widthPx", "heightPx", "turned", "profile", "profileFollowed", "readMs"}],
      "tiles": [{"name", "lab", "cov", "photos", "disagree"}], "drifts", "written"}; docs/photo.md explains
      every field`,
    after: 'A photo is read for D50 and 2 degrees, whatever light the photo was taken under.',
    refuses: (given) => (given.length === 0 ? 'Which photos? Name at least one file.' : undefined),
    async answer({ options, operands, json }, { ports, screen }) {
      const { question, out, tiles } = options;
      if (
        question.corners !== undefined &&
        (question.sheet === 'any' || question.sheet === 'none')
      ) {
        throw unreadableCall(
          '--corners wants to know which sheet it is: add --sheet A4 or Letter.',
          read.name,
        );
      }
      const photos: (ReadOne & { readonly readMs: number })[] = [];
      for (const [done, file] of operands.entries()) {
        ports.progress({ what: 'Reading photos', done, total: operands.length });
        await ports.breathe();
        const photo = await ports.photos.decode(await ports.files.read(file), file);
        const { answer, workMs } = await asked(readingOne({ file, photo }, question), ports);
        photos.push({ ...answer, readMs: workMs });
      }
      const all = overAll(photos, question);
      const recipes = (tiles ?? []).flatMap((mix) => ('recipe' in mix ? [mix.recipe] : []));
      const rows = readingsFromPhotos(photos, layoutsOf(question), recipes);
      if (out !== undefined) await ports.files.write(out, new TextEncoder().encode(rows.text));
      const written = out === undefined ? {} : { written: { path: out, readings: rows.readings } };
      const shown = { photos, ...all, ...written };
      return json ? `${readJson(shown)}\n` : readText(shown, screen, tiles !== undefined);
    },
  }),
  command({
    name: traySheet.name,
    usage: 'tray-sheet --out FILE',
    asks: traySheet.asks,
    options: z.strictObject({
      out: fileOption(
        'out',
        'sheet.pdf',
        'the PDF to write; print it at 100 % and check the ruler',
      ),
      question: traySheet.question,
    }),
    json: '{"out", "paper", "places", "leftOver"}',
    refuses: noOperands,
    async answer({ options: { out, question }, json }, { ports }) {
      const { answer } = await asked(traySheet.run(undefined, question), ports);
      const { layout, codes, leftOver } = answer;
      await ports.files.write(out, await ports.printing.traySheet(layout, codes));
      const places = layout.places.length;
      if (json) return `${JSON.stringify({ out, paper: question.paper, places, leftOver })}\n`;
      const lost =
        leftOver.length === 0 ? '' : ` No place was left for ${leftOver.map(plain).join(', ')}.`;
      return `${plain(out)} has ${counted(places, 'place')}. Print it at 100 %: its ruler is ${RULER_MM} mm long.${lost}\n`;
    },
  }),
];
