import './block.css';
import type { CSSProperties } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { isNearBackground } from '../colour/near-background.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';
import { spokenColour } from '../colour/spoken-colour.ts';

/** A block whose package is not known is drawn like one of this weight, grams (common practice). */
const USUAL_PACKAGE_G = 56;

export interface BlockLook {
  readonly name: string;
  readonly lab: Lab | undefined;
  readonly packageG?: number | undefined;
  /** Grams left; absent where nobody counted. */
  readonly leftG?: number | undefined;
  /** Absent for plain opaque clay. */
  readonly effect?: string | undefined;
}

/**
 * A block of clay, as wide as it is heavy: what is used up is outlined, quarters are ticked. Hatched
 * while its colour is not known. A diamond below marks clay that is not flat: pearl, translucent ...
 */
export function Block({ name, lab, packageG, leftG, effect }: BlockLook) {
  useWiderScreen();
  const whole = packageG === undefined || packageG <= 0 ? USUAL_PACKAGE_G : packageG;
  const share = shareLeft(leftG, packageG);
  const said = [
    name,
    lab === undefined ? 'no colour yet' : spokenColour(lab),
    effect,
    leftInWords(leftG, packageG),
  ];
  const grams = { '--g': Math.min(200, Math.max(20, whole)) } as CSSProperties;
  return (
    <span
      className="block"
      role="img"
      aria-label={said.filter(Boolean).join(', ')}
      style={grams}
      data-begun={share < 1 || undefined}
      data-effect={effect !== undefined || undefined}
    >
      {lab === undefined ? (
        <span className="block-left no-colour" style={{ width: '100%' }} />
      ) : (
        <span
          className="block-left"
          style={{ background: screenColour(lab).css, width: `${100 * share}%` }}
          data-like={isNearBackground(lab)}
        />
      )}
    </span>
  );
}

/** What is left of the package in use, 0-1; a whole one where nobody counted. */
export function shareLeft(leftG: number | undefined, packageG: number | undefined): number {
  if (leftG === undefined) return 1;
  const whole = packageG === undefined || packageG <= 0 ? USUAL_PACKAGE_G : packageG;
  return Math.min(1, Math.max(0, leftG / whole));
}

const QUARTERS = ['none left', '¼ block', '½ block', '¾ block', '1 block'] as const;

/** "¼ block", "1 block", "3 blocks"; nothing where nobody counted. */
export function leftInWords(leftG: number | undefined, packageG: number | undefined): string {
  if (leftG === undefined) return '';
  const whole = packageG === undefined || packageG <= 0 ? USUAL_PACKAGE_G : packageG;
  const blocks = leftG / whole;
  if (blocks >= 1.5) return `${Math.round(blocks)} blocks`;
  if (blocks > 0 && blocks < 0.125) return 'nearly none';
  return QUARTERS[Math.min(4, Math.round(4 * Math.max(0, blocks)))];
}
