/** Tenths of the hue circle from red on. Names of CIELAB hue angles: common practice, no source. */
export const HUE_WORDS = [
  'red',
  'orange',
  'yellow',
  'yellow-green',
  'green',
  'blue-green',
  'blue',
  'violet-blue',
  'violet',
  'pink',
] as const;
export type HueWord = (typeof HUE_WORDS)[number];

/** The word of a hue angle, 0 up to 360 degrees. */
export function hueWord(hue: number): HueWord {
  return HUE_WORDS[Math.floor((hue / 360) * HUE_WORDS.length) % HUE_WORDS.length];
}
