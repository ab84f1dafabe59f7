import type { Lab } from '../../core/colour/triples.ts';
import type { ReadingKind } from '../../domain/records/reading-kind.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { LetGo } from '../list-service.ts';

/** A clay of a mix, as a row of pieces wants it; name and colour of mixes alone: blocks are few. */
export interface MixRowPart {
  readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
  readonly parts: number;
  readonly name?: string;
  readonly lab?: Lab;
}

/** A mix as its tile shows it. */
export interface ListedMix {
  readonly id: string;
  readonly code?: string;
  readonly name?: string;
  /** The colour shown of it, D50, 2 degrees. */
  readonly lab?: Lab;
  readonly readingKind?: ReadingKind | 'predicted';
  /** Where asked. */
  readonly parts?: readonly MixRowPart[];
  /** What the parts count; beside them. */
  readonly basis?: RecordOf<'mix'>['body']['basis'];
  readonly tags?: readonly string[];
  /** Deleted or emptied from the bin since the sheet was opened. */
  readonly gone?: true;
}

export interface ListQuery {
  /** Name of a list that was opened before; if that list was closed, a new one is opened. */
  readonly sheet?: string;
  readonly from: number;
  readonly limit: number;
}

export interface ListPage<R> {
  readonly sheet: string;
  readonly total: number;
  readonly from: number;
  readonly rows: readonly R[];
  /** The book changed since the sheet was opened. */
  readonly behind: boolean;
  readonly without?: readonly LetGo[];
}

/** Decimals of a colour in a row: a screen shows less than a tenth of it. */
const DECIMALS = 1000;

export function roundedLab(lab: Lab): Lab {
  const [l, a, b] = lab.map((value) => Math.round(value * DECIMALS) / DECIMALS);
  return [l, a, b];
}
