import type { z } from 'zod';
import type { Book } from '../book/book.ts';
import { bakingOfBook, bendTestsOfBook } from '../book/hold-and-bake.ts';
import { bake } from '../verbs/bake.ts';
import { hold } from '../verbs/hold.ts';
import { asked, type Verb } from '../verbs/verb.ts';
import { noOperands } from './command.ts';
import type { Command } from './command-parts.ts';
import { unreadableCall } from './options.ts';
import { questionCommand, withBook } from './question-command.ts';
import { bakeText, holdText } from './show-hold-and-bake.ts';

interface BookCommand<Q extends z.ZodObject, A>
  extends Pick<
    Parameters<typeof questionCommand<z.output<Q>, A>>[0],
    'options' | 'usage' | 'about' | 'json' | 'toText'
  > {}

/** A command that asks a question of what the book has saved. */
function bookCommand<Q extends z.ZodObject, S, A>(
  verb: Verb<string, S, Q, A>,
  subjectOf: (book: Book) => Promise<S>,
  parts: BookCommand<Q, A>,
): Command {
  return questionCommand({
    ...parts,
    name: verb.name,
    asks: verb.asks,
    refuses: noOperands,
    async answered({ options: { question, book, folder } }, shell) {
      if (!book) {
        throw unreadableCall('The answer comes from the mix book: add --book.', verb.name);
      }
      const { books } = await shell.book();
      const subject = await books.lookAt(books.folderOf(folder), subjectOf);
      return (await asked(verb.run(subject, question), shell.ports)).answer;
    },
    toJson: JSON.stringify,
  });
}

/** Commands about thin parts and the oven. */
export const STRENGTH_COMMANDS: readonly Command[] = [
  bookCommand(hold, bendTestsOfBook, {
    options: withBook(hold.question),
    usage: 'hold --book --shape "SHAPE" --push MM',
    about:
      'Works out how far the part is stretched, and from your bend tests the chance that it holds and the least share of the strong line. Without a test there is no number.',
    json: `{"part", "strain", "withinLimit", "pair": {"strong", "other"}, "tests", "clash": {"chance", "counts"},
      "at": {"share", "chance", "low", "high", "sure", "held", "asHard", "mostFailing", "proven"}, "least",
      "likely": {"low", "high"}, "next": [{"share", "strain", "how"}], "handling": [{"lines", "notes", "felt",
      "helped": [{"what", "helped", "tried"}]}], "sentences", "prior", "cautions"}; low
      and high hold 95 %; sure is what nine in ten cases reach; held of asHard results at least as hard held,
      and mostFailing is the largest failing share that fits them; proven is holds, fails or unproven`,
    toText: holdText,
  }),
  bookCommand(bake, bakingOfBook, {
    options: withBook(bake.question),
    usage: 'bake --book --lines "A, B" --thickest MM',
    about:
      "Plans a bake from what your packets say, your oven and the thickest part. The maker's label decides; Kneadwell gives no temperature that no packet gives.",
    json: `{"kind", "window": {"lowC", "highC"}, "meanC", "peakC", "swingC", "dialC", "warmUpMinutes", "oven",
      "stages": [{"slowest", "through", "atHeat", "minutes": {"low", "high"}}], "totalMinutes", "minutesOnPacket",
      "risks", "silent", "sentences", "cautions"}; kind is plan, no temperature or too hot; temperatures are at
      the clay, but for dialC`,
    toText: bakeText,
  }),
];
