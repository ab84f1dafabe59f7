import { createContext, useContext } from 'react';
import type { Lab } from '../../core/colour/triples.ts';

/** Colour of each block as the open clays know it. */
export const ClayColours = createContext<(blockId: string) => Lab | undefined>(() => undefined);

export function useClayColours(): (blockId: string) => Lab | undefined {
  return useContext(ClayColours);
}
