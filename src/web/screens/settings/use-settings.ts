import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { USUAL_UNITS } from '../../../domain/usual-units.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { showNotice } from '../../book/notice.ts';
import { useAll } from '../../book/queries.ts';

const FIRST: BodyOf<'settings'> = { units: USUAL_UNITS };

/** The settings and how to save them; a new book has none yet. */
export function useSettings(): {
  readonly body: BodyOf<'settings'>;
  readonly keep: (what: string, next: BodyOf<'settings'>) => Promise<void>;
} {
  const [record] = useAll('settings').records;
  return {
    body: record?.body ?? FIRST,
    async keep(what, next) {
      try {
        await sendChange(what, [
          record !== undefined ? change(record, next) : make('settings', next, 'settings'),
        ]);
      } catch (fault) {
        showNotice({ text: wordsOf(fault) });
      }
    },
  };
}

/** The settings with a field set, or removed where the value is undefined. */
export function withField<K extends keyof BodyOf<'settings'>>(
  body: BodyOf<'settings'>,
  key: K,
  value: BodyOf<'settings'>[K] | undefined,
): BodyOf<'settings'> {
  const { [key]: _, ...rest } = body;
  return (value === undefined ? rest : { ...rest, [key]: value }) as BodyOf<'settings'>;
}
