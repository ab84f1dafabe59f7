import type { Lab } from '../../core/colour/triples.ts';
import type { BookStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { labReading } from './lab-reading.ts';
import { lineFor } from './line-for.ts';
import { make } from './steps.ts';

/** A block as it is named, with its first colour. */
export interface NewBlock {
  readonly name: string;
  readonly clayType: BodyOf<'block'>['clayType'];
  readonly lab: Lab;
  /** Where in which picture the colour was tapped; absent for one made by eye. */
  readonly tapped?: Pick<BodyOf<'reading'>, 'photoId' | 'region' | 'source'>;
}

/** Blocks of one line, each with a reading, as one change. */
export function addBlocksSteps(ask: {
  readonly blocks: readonly NewBlock[];
  readonly state: BodyOf<'reading'>['state'];
  readonly line: string;
  readonly lines: Iterable<Pick<RecordOf<'line'>, 'id' | 'body'>>;
  readonly newId: (kind: string) => string;
}): readonly BookStep[] {
  const { blocks, state, line, lines, newId } = ask;
  const { id: lineId, steps } = lineFor(line, lines, newId);
  return [
    ...steps,
    ...blocks.flatMap(({ name, clayType, lab, tapped }) => {
      const id = newId('block');
      const readingKind = tapped === undefined ? 'by eye' : 'rough';
      return [
        make('block', { lineId, name: name.trim(), clayType, status: 'current' }, id),
        make('reading', {
          of: { kind: 'block', id },
          ...labReading(lab, readingKind, state),
          ...tapped,
        }),
      ];
    }),
  ];
}
