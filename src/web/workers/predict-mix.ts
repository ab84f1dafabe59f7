import type { Predictor } from '../../core/clay/predict.ts';
import { predictViewed } from '../../core/find/predicted-mix.ts';
import type { Prediction, Share } from './messages.ts';

/** Under D50 and 2 degrees. */
export function predictHere(predictor: Predictor, parts: readonly Share[]): Prediction {
  const used = parts.filter((part) => part.parts > 0);
  const total = used.reduce((sum, part) => sum + part.parts, 0);
  const shares = used.map(({ clay, parts }) => ({ clay, share: parts / total }));
  const { lab, covariance, plusMinus } = predictViewed(predictor, shares, {
    light: 'D50',
    observer: 2,
  });
  return { lab, covariance: [...covariance], plusMinus };
}
