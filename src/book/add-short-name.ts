import { AppError } from '../core/errors.ts';
import { shortNameProblem } from '../core/notation/shorthand-vocabulary.ts';
import { titleOf } from '../domain/index-fields.ts';
import { type RecordOf, SETTINGS_ID } from '../domain/records/record.ts';
import type { Changed } from './book.ts';
import type { BookService } from './book-service.ts';
import { findRecord } from './find-record.ts';

/**
 * Adds a short name to the user's shorthand, or changes what one means.
 * Refuses: a short name that would be ambiguous in a line -> sign-unusable (bad-input)
 */
export async function addSign(desk: BookService, sign: string, words: string): Promise<Changed> {
  const problem = shortNameProblem(sign);
  if (problem !== undefined) {
    throw new AppError({
      code: 'sign-unusable',
      kind: 'bad-input',
      detail: `"${sign.slice(0, 40)}" cannot be a short name. ${problem}`,
      hint: 'A letter or two is best, such as G or Kp.',
    });
  }
  const of = await findRecord(desk, words, ['block', 'mix', 'powder']);
  const before = (await desk.get(SETTINGS_ID)) as RecordOf<'settings'> | undefined;
  const units = { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' } as const;
  const shortNames = (before?.body.shortNames ?? []).filter((known) => known.shortName !== sign);
  return desk.change({
    what: `The sign ${sign} stands for ${titleOf(of)}`.slice(0, 300),
    steps: [
      {
        do: 'put',
        kind: 'settings',
        ...(before === undefined ? {} : { id: before.id, version: before.version }),
        body: {
          units,
          ...before?.body,
          shortNames: [
            ...shortNames,
            { shortName: sign, of: { kind: of.kind as 'block', id: of.id } },
          ],
        },
      },
    ],
  });
}
