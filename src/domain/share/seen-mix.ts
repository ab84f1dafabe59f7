import type { Lab } from '../../core/colour/triples.ts';
import type { ShareMix } from './share-file.ts';

/** A mix of a share file, as it is shown before anything is taken. */
export interface SeenMix {
  readonly title: string;
  readonly recipe: string;
  readonly lab?: Lab;
  readonly from?: 'baked' | 'predicted';
  readonly plusMinus?: number;
  readonly look: ShareMix['look'];
}
