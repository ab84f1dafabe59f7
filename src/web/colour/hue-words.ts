import { HUE_WORDS } from '../../core/colour/hue-words.ts';

/** Each name at the middle of its tenth, for plots of hue and chroma: position and text anchor. */
export function hueWordsAround(radius: number): readonly {
  readonly word: string;
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
}[] {
  return HUE_WORDS.map((word, i) => {
    const angle = ((i + 0.5) / HUE_WORDS.length) * 2 * Math.PI;
    const across = Math.cos(angle);
    return {
      word,
      x: radius * across,
      y: -radius * Math.sin(angle),
      anchor: Math.abs(across) < 0.35 ? 'middle' : across > 0 ? 'start' : 'end',
    };
  });
}
