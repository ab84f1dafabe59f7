import { allAt } from '../../book/book-service.ts';
import { findRecord } from '../../book/find-record.ts';
import { AppError } from '../../core/errors.ts';
import { closestOwn, matchClaySteps } from '../../domain/changes/match-clay.ts';
import { labOfReading } from '../../domain/records/lab-of-reading.ts';
import { byQuality } from '../../domain/records/shown-colour.ts';
import type { BookShell } from '../book-shell.ts';
import { counted, plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';

/** Blocks that are named as closest. */
const MOST_NAMED = 8;

/** An unknown clay of a recipe that came in: which own block it may be, or puts one in its place. */
export async function matchAnswer(call: BookCall, shell: BookShell): Promise<string> {
  const [unknownWord = '', ownWord] = call.operands;
  return shell.books.throughService(folderOf(call, shell), false, async (service) => {
    const unknown = await findRecord(service, unknownWord, ['block']);
    if (unknown.body.status !== 'not owned') throw owned(unknown.body.name);
    const blocks = await allAt(service, 'block');
    if (ownWord === undefined) {
      const readings = (await allAt(service, 'reading')).toSorted(byQuality);
      const tiles = new Map((await allAt(service, 'tile')).map((tile) => [tile.id, tile]));
      const labs = new Map<string, readonly [number, number, number]>();
      for (const { body } of readings) {
        const of = tiles.get(body.of.id)?.body.of ?? body.of;
        const lab = labOfReading(body);
        if ('id' in of && lab !== undefined && !labs.has(of.id)) labs.set(of.id, lab);
      }
      const closest = closestOwn(unknown, blocks, (id) => labs.get(id)).slice(0, MOST_NAMED);
      if (call.json) {
        return json({
          of: unknown.body.name,
          closest: closest.map(({ block, dE00 }) => ({
            id: block.id,
            name: block.body.name,
            dE00,
          })),
        });
      }
      if (closest.length === 0) return `Nothing says a colour of ${plain(unknown.body.name)}.\n`;
      return [
        `Closest to ${plain(unknown.body.name)}:`,
        ...closest.map(({ block, dE00 }) => `  ${plain(block.body.name)}, ${dE00.toFixed(1)} dE00`),
        `Put one in its place with "kneadwell match ${plain(unknown.body.name)} BLOCK".`,
        '',
      ].join('\n');
    }
    const own = await findRecord(service, ownWord, ['block']);
    const steps = matchClaySteps(unknown.id, own.id, await allAt(service, 'mix'));
    if (steps.length === 0) return `No mix uses ${plain(unknown.body.name)}.\n`;
    const what = `Took ${own.body.name} for ${unknown.body.name}`.slice(0, 300);
    const { group } = await service.change({ what, steps });
    if (call.json) return json({ mixes: steps.length, seq: group.seq });
    return `${plain(own.body.name)} in the place of ${plain(unknown.body.name)}, in ${counted(steps.length, 'mix', 'mixes')}.\n`;
  });
}

export function oneOrTwo(given: readonly string[]): string | undefined {
  return given.length === 1 || given.length === 2
    ? undefined
    : 'Name the unknown clay, and after it the block to take for it.';
}

function owned(name: string): AppError {
  return new AppError({
    code: 'block-owned',
    kind: 'bad-input',
    detail: `${name} is a block of your own.`,
    hint: 'Name a clay that came with a recipe of somebody else.',
  });
}
