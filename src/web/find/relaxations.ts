import type { Instead, Relaxation } from '../../core/find/gap-report.ts';
import { type FindRequest, type RequestShare, withChange } from './find-request.ts';
import { groupOf } from './question-from-request.ts';
import type { Studio } from './studio.ts';

/** What is done to the rules when a help is tried, in words. */
export function relaxationInWords({ kind, of, value }: Relaxation): string {
  switch (kind) {
    case 'parts':
      return `With up to ${value} parts`;
    case 'clays':
      return `With ${value} clays in one`;
    case 'without':
      return 'With the clays you left out';
    case 'lines':
    case 'only':
      return 'With all your lines';
    case 'must':
      return 'Without what must be in it';
    case 'mostLines':
      return 'With more lines in one';
    case 'atLeast':
      return `Without a least share of ${of}`;
    case 'atMost':
      return `With more ${of}`;
    case 'halfPart':
      return 'Without the rule on half parts';
    case 'batchG':
      return 'With more of each in stock';
  }
}

/** What is wanted, with the one thing changed that a help names. */
export function relaxed(
  wanted: FindRequest,
  { kind, of, value }: Relaxation,
  studio: Studio,
): FindRequest {
  const left = (list: readonly RequestShare[] | undefined) =>
    list?.filter((one) => groupOf(one.of, studio)?.words !== of);
  switch (kind) {
    case 'parts':
      return withChange(wanted, { parts: value ?? wanted.parts });
    case 'clays':
      return withChange(wanted, { mostClays: value ?? wanted.mostClays });
    case 'without':
      return withChange(wanted, { without: [] });
    case 'lines':
    case 'only':
      return withChange(wanted, { lines: undefined });
    case 'must':
      return withChange(wanted, { must: undefined });
    case 'mostLines':
      return withChange(wanted, { mostLines: undefined });
    case 'atLeast':
      return withChange(wanted, { atLeast: left(wanted.atLeast) });
    case 'atMost':
      return withChange(wanted, { atMost: left(wanted.atMost) });
    case 'halfPart':
      return withChange(wanted, { halfPart: undefined });
    case 'batchG':
      return withChange(wanted, { withinStock: undefined });
  }
}

/** "If lightness may give" */
export function insteadInWords({ giveUp }: Instead): string {
  return `If ${giveUp} may give`;
}
