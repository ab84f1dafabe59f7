import type { OpenExplanation } from '../../core/find/known-clays.ts';
import { clayKey } from '../../core/notation/clay-name.ts';
import type { BookStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { change } from './steps.ts';

/** The records that an explanation is about, found by the hashes of its readings. */
export interface ExplainedRecords {
  /** In the order of the rows of the faults. */
  readonly readings: readonly RecordOf<'reading'>[];
  readonly tileOf: (reading: RecordOf<'reading'>) => RecordOf<'tile'> | undefined;
  /** Id of a block by the name that the model has for the clay. */
  readonly blockOf: (clay: string) => string | undefined;
  /** What parts of the model count. */
  readonly basis: BodyOf<'tile'>['basis'];
}

/**
 * Takes an explanation as true: readings are exchanged, corrected or deleted, and recipes corrected.
 * Returns: undefined where a record that would change is gone
 */
export function takeSoSteps(
  { faults }: Pick<OpenExplanation, 'faults'>,
  { readings, tileOf, blockOf, basis }: ExplainedRecords,
): readonly BookStep[] | undefined {
  const steps: BookStep[] = [];
  let at = 0;
  for (const fault of faults) {
    const own = readings.slice(at, at + fault.rows.length);
    at += fault.rows.length;
    const [first, other] = own;
    if (first === undefined || own.length < fault.rows.length) return undefined;
    switch (fault.kind) {
      case 'swapped':
        if (other === undefined) return undefined;
        steps.push(
          change(first, { ...first.body, of: other.body.of }),
          change(other, { ...other.body, of: first.body.of }),
        );
        break;
      case 'reversed':
      case 'amounts':
      case 'other clay': {
        const tile = tileOf(first);
        const parts = fault.parts.flatMap(({ clay, parts: count }) => {
          const id = blockOf(clay);
          return id === undefined ? [] : [{ of: { kind: 'block' as const, id }, parts: count }];
        });
        const [only] = parts;
        if (tile === undefined || only === undefined || parts.length < fault.parts.length) {
          return undefined;
        }
        const of = parts.length === 1 ? only.of : { parts };
        steps.push(change(tile, { ...tile.body, of, basis }));
        break;
      }
      case 'reading':
        steps.push({ do: 'delete', id: first.id, version: first.version });
        break;
      default: {
        for (const reading of own) {
          const corrected = withLab(reading.body, (lab) => correctedLab(fault, lab));
          if (corrected === undefined) return undefined;
          steps.push(change(reading, corrected));
        }
      }
    }
  }
  return steps;
}

/** Says that the readings are right as they are: learning does not suspect them any more. */
export function rightAsTheyAreSteps(readings: readonly RecordOf<'reading'>[]): readonly BookStep[] {
  return readings.map((reading) => change(reading, { ...reading.body, checked: true }));
}

/** Blocks of a model by the names of its clays. */
export function blocksOfModel({
  body,
}: Pick<RecordOf<'clay-model'>, 'body'>): ExplainedRecords['blockOf'] {
  const ids = new Map(body.clays.map(({ name, blockId }) => [clayKey(name), blockId]));
  return (clay) => ids.get(clayKey(clay));
}

type Lab = readonly [number, number, number];
type OfColour = Extract<
  OpenExplanation['faults'][number],
  { readonly kind: 'a and b exchanged' | 'sign lost' | 'scale' }
>;

function correctedLab(fault: OfColour, [l, a, b]: Lab): Lab {
  switch (fault.kind) {
    case 'a and b exchanged':
      return [l, b, a];
    case 'sign lost':
      return fault.axis === 'a' ? [l, -a, b] : [l, a, -b];
    case 'scale':
      return fault.axes === 'L' ? [100 * l, a, b] : [100 * l, 100 * a, 100 * b];
  }
}

/** A reading with another colour; the user's own colour, where there is one, is what was learned from. */
function withLab(
  body: BodyOf<'reading'>,
  corrected: (lab: Lab) => Lab,
): BodyOf<'reading'> | undefined {
  const { override, lab } = body;
  if (override?.lab !== undefined) {
    const [l, a, b] = corrected(override.lab);
    return { ...body, override: { ...override, lab: [l, a, b] } };
  }
  return lab === undefined
    ? undefined
    : { ...body, lab: { ...lab, values: corrected(lab.values) } };
}
