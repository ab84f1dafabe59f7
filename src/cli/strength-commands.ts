import { z } from 'zod';
import type { Book } from '../book/book.ts';
import { bakingOfBook, bendTestsOfBook } from '../book/hold-and-bake.ts';
import { type BakeSubject, bake } from '../verbs/bake.ts';
import { type HoldSubject, hold } from '../verbs/hold.ts';
import { asked, type Verb } from '../verbs/verb.ts';
import { command, noOperands } from './command.ts';
import type { Command, CommandParts } from './command-parts.ts';
import { unreadableCall } from './options.ts';
import { onBook } from './shared-options.ts';
import { bakeText, holdText } from './show-hold-and-bake.ts';

interface BookCommand<A> extends Pick<CommandParts<z.ZodObject>, 'usage' | 'about' | 'json'> {
  readonly toText: (answer: A) => string;
}

/** A command that asks a question of what the book has saved. */
function bookCommand<Q extends z.ZodObject, S, A>(
  verb: Verb<string, S, Q, A>,
  subjectOf: (book: Book) => Promise<S>,
  { toText, ...parts }: BookCommand<A>,
): Command {
  return command({
    ...parts,
    name: verb.name,
    asks: verb.asks,
    options: z.strictObject({ question: verb.question, ...onBook }),
    refuses: noOperands,
    async answer(call, shell) {
      const options = call.options as unknown as {
        readonly question: unknown;
        readonly book: boolean;
        readonly folder?: string;
      };
      if (!options.book) {
        throw unreadableCall('The answer comes from the mix book: add --book.', verb.name);
      }
      const { books } = await shell.book();
      const subject = await books.lookAt(books.folderOf(options.folder), subjectOf);
      const { answer } = await asked(verb.ask(subject, options.question), shell.ports);
      return call.json ? `${JSON.stringify(answer)}\n` : toText(answer);
    },
  });
}

/** Commands about thin parts and the oven. */
export const STRENGTH_COMMANDS: readonly Command[] = [
  bookCommand<typeof hold.question, HoldSubject, z.output<typeof hold.answer>>(
    hold,
    bendTestsOfBook,
    {
      usage: 'hold --book --shape "SHAPE" --push MM',
      about:
        'Works out how far the part is stretched, and from your bend tests the chance that it holds and the least share of the strong line. Without a test there is no number.',
      json: `{"part", "strain", "withinLimit", "pair": {"strong", "other"}, "tests", "clash": {"chance", "counts"},
      "at": {"share", "chance", "low", "high", "sure", "held", "asHard", "mostFailing", "proven"}, "least",
      "likely": {"low", "high"}, "next": [{"share", "strain", "how"}], "sentences", "prior", "cautions"}; low
      and high hold 95 %; sure is what nine in ten cases reach; held of asHard results at least as hard held,
      and mostFailing is the largest failing share that fits them; proven is holds, fails or unproven`,
      toText: holdText,
    },
  ),
  bookCommand<typeof bake.question, BakeSubject, z.output<typeof bake.answer>>(bake, bakingOfBook, {
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
