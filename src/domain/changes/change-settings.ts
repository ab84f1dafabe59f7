import type { PutStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { SETTINGS_ID } from '../records/settings-id.ts';
import { USUAL_UNITS } from '../usual-units.ts';
import { change, make } from './steps.ts';

type Settings = BodyOf<'settings'>;

/** The settings of a book with some of them changed; there is one such record. */
export function changeSettingsStep(
  before: RecordOf<'settings'> | undefined,
  fields: Partial<Settings>,
): PutStep<'settings'> {
  const body = { units: USUAL_UNITS, ...before?.body, ...fields };
  return before === undefined ? make('settings', body, SETTINGS_ID) : change(before, body);
}

/** The settings with one short name more, or with another meaning of it. */
export function shortNameStep(
  before: RecordOf<'settings'> | undefined,
  shortName: string,
  of: NonNullable<Settings['shortNames']>[number]['of'],
): PutStep<'settings'> {
  const others = before?.body.shortNames?.filter((known) => known.shortName !== shortName) ?? [];
  return changeSettingsStep(before, { shortNames: [...others, { shortName, of }] });
}
