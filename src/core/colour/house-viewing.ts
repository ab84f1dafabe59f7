import type { Viewing } from './adaptation.ts';

/** Light and observer that nothing else is said of. */
export const HOUSE_VIEWING = { light: 'D50', observer: 2 } as const satisfies Viewing;
