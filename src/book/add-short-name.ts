import { AppError } from '../core/errors.ts';
import { shortNameProblem } from '../core/notation/shorthand-vocabulary.ts';
import { shortNameStep } from '../domain/changes/change-settings.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { RecordOf } from '../domain/records/record.ts';
import { SETTINGS_ID } from '../domain/records/settings-id.ts';
import type { Changed } from './book.ts';
import type { BookService } from './book-service.ts';
import { findRecord } from './find-record.ts';

/**
 * Adds a short name to the user's shorthand, or changes what one means.
 * Refuses: a short name that would be ambiguous in a line -> short-name-unusable (bad-input)
 */
export async function addShortName(
  service: BookService,
  shortName: string,
  words: string,
): Promise<Changed> {
  const problem = shortNameProblem(shortName);
  if (problem !== undefined) {
    throw new AppError({
      code: 'short-name-unusable',
      kind: 'bad-input',
      detail: `"${shortName.slice(0, 40)}" cannot be a short name. ${problem}`,
      hint: 'A letter or two is best, such as G or Kp.',
    });
  }
  const of = await findRecord(service, words, ['block', 'mix', 'powder']);
  const before = (await service.get(SETTINGS_ID)) as RecordOf<'settings'> | undefined;
  const step = shortNameStep(before, shortName, { kind: of.kind, id: of.id });
  const what = `The short name ${shortName} stands for ${titleOf(of)}`.slice(0, 300);
  return service.change({ what, steps: [step] });
}
