import type { Lab } from '../../core/colour/triples.ts';
import { spokenColour } from './spoken-colour.ts';

/** A colour as addresses have it: `52.00_-18.00_22.00`. */
export function labInAddress(lab: Lab): string {
  return lab.map((v) => v.toFixed(2)).join('_');
}

/** The colour of such text; undefined where the text is none. */
export function labFromAddress(text: string | undefined): Lab | undefined {
  if (text === undefined || text.trim() === '') return undefined;
  const [l, a, b, ...rest] = text.split('_').map(Number);
  return rest.length === 0 && [l, a, b].every(Number.isFinite) ? [l, a, b] : undefined;
}

/** A colour that one screen hands to another, with its name. */
export interface AimInAddress {
  readonly aim?: string | undefined;
  readonly called?: string | undefined;
}

export function aimFromAddress({
  aim,
  called,
}: AimInAddress): { readonly lab: Lab; readonly words: string } | undefined {
  const lab = labFromAddress(aim);
  return lab === undefined ? undefined : { lab, words: called ?? spokenColour(lab) };
}
