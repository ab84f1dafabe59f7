import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { changeBook, wordsOf } from '../../book/change.ts';
import { showNotice } from '../../book/notice.ts';
import { useAll } from '../../book/queries.ts';

const FIRST: BodyOf<'settings'> = {
  units: { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' },
};

/** How she likes it, and how it is kept when she likes it otherwise; a new book has none written down yet. */
export function useSettings(): {
  readonly body: BodyOf<'settings'>;
  readonly keep: (what: string, next: BodyOf<'settings'>) => Promise<void>;
} {
  const [record] = useAll('settings').records;
  return {
    body: record?.body ?? FIRST,
    async keep(what, next) {
      try {
        await changeBook(what, [
          record !== undefined ? change(record, next) : make('settings', next, 'settings'),
        ]);
      } catch (fault) {
        showNotice({ text: wordsOf(fault) });
      }
    },
  };
}

/** A body with a field put in, or taken out where there is nothing to say. */
export function withField<K extends keyof BodyOf<'settings'>>(
  body: BodyOf<'settings'>,
  key: K,
  value: BodyOf<'settings'>[K] | undefined,
): BodyOf<'settings'> {
  const { [key]: _, ...rest } = body;
  return (value === undefined ? rest : { ...rest, [key]: value }) as BodyOf<'settings'>;
}
