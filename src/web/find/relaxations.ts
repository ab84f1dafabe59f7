import type { Instead, Relaxation } from '../../core/find/gap-report.ts';
import { type FindRequest, type RequestShare, withChange } from './find-request.ts';
import { groupOf } from './question-from-request.ts';
import type { Studio } from './studio.ts';

/** A relaxed rule in words. */
export function relaxationInWords({ kind, of, value }: Relaxation): string {
  switch (kind) {
    case 'parts':
      return `With up to ${value} parts`;
    case 'clays':
      return `With ${value} clays per recipe`;
    case 'without':
      return 'With the clays you excluded';
    case 'lines':
    case 'only':
      return 'With all your lines';
    case 'must':
      return 'Without the clays you always use';
    case 'mostLines':
      return 'With more lines per recipe';
    case 'atLeast':
      return `Without a minimum of ${of}`;
    case 'atMost':
      return `With more ${of}`;
    case 'effects':
      return 'With pearl, translucent and glowing clays';
    case 'halfPart':
      return 'Without the rule for uneven pieces';
    case 'batchG':
      return 'With more of each in stock';
  }
}

/** The request with one rule relaxed. */
export function relaxed(
  request: FindRequest,
  { kind, of, value }: Relaxation,
  studio: Studio,
): FindRequest {
  const left = (list: readonly RequestShare[] | undefined) =>
    list?.filter((one) => groupOf(one.of, studio)?.words !== of);
  switch (kind) {
    case 'parts':
      return withChange(request, { parts: value ?? request.parts });
    case 'clays':
      return withChange(request, { mostClays: value ?? request.mostClays });
    case 'without':
      return withChange(request, { without: [] });
    case 'lines':
    case 'only':
      return withChange(request, { lines: undefined });
    case 'must':
      return withChange(request, { must: undefined });
    case 'mostLines':
      return withChange(request, { mostLines: undefined });
    case 'atLeast':
      return withChange(request, { atLeast: left(request.atLeast) });
    case 'atMost':
      return withChange(request, { atMost: left(request.atMost) });
    case 'effects':
      return withChange(request, { effects: true });
    case 'halfPart':
      return withChange(request, { halfPart: undefined });
    case 'batchG':
      return withChange(request, { withinStock: undefined });
  }
}

/** "If lightness may differ" */
export function insteadInWords({ relax }: Instead): string {
  return `If ${relax} may differ`;
}
