import type { Predictor } from '../../core/clay/predict.ts';
import { foretoldMix } from '../../core/find/predicted-mix.ts';
import type { Foretold, Share } from './messages.ts';

/** Under D50 and 2 degrees. */
export function foretellMix(predictor: Predictor, parts: readonly Share[]): Foretold {
  const used = parts.filter((part) => part.parts > 0);
  const total = used.reduce((sum, part) => sum + part.parts, 0);
  const shares = used.map(({ parent, parts }) => ({ parent, share: parts / total }));
  const { lab, covariance, plusMinus } = foretoldMix(predictor, shares, {
    light: 'D50',
    observer: 2,
  });
  return { lab, covariance: [...covariance], plusMinus };
}
