import { percentInWords } from '../domain/powders-in-words.ts';

/** A share as per cent with no digits that say nothing: "58 %", "5.7 %". */
export function roughPercent(share: number): string {
  return percentInWords(Number(share.toPrecision(2)));
}
