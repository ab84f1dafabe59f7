import { createContext, useContext } from 'react';
import type { Lab } from '../../core/colour/triples.ts';

/** The colour of each block in the open clays. */
export const ClayColours = createContext<(blockId: string) => Lab | undefined>(() => undefined);

export function useClayColours(): (blockId: string) => Lab | undefined {
  return useContext(ClayColours);
}
