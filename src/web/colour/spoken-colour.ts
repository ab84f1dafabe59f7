import { lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** Names found before; finding one takes a search through the Munsell solid. */
const names = new Map<string, string>();
let nameOf: ((lab: Lab) => string) | undefined;

/** Fetches the tables of colour names; until then names are rougher. */
export async function fetchColourNames(): Promise<void> {
  const { colourName } = await import('../../core/colour/colour-name.ts');
  nameOf = (lab) => colourName(lab).name;
}

/**
 * A colour in words, for screen readers and captions: "moderate olive green" (ISCC-NBS), or before the
 * tables are loaded "dark, strong green".
 */
export function spokenColour(lab: Lab): string {
  if (nameOf === undefined) return roughly(lab);
  const key = lab.map((v) => v.toFixed(1)).join(' ');
  const known = names.get(key);
  if (known !== undefined) return known;
  const name = nameOf(lab);
  if (names.size > 5000) names.clear();
  names.set(key, name);
  return name;
}

/** Hue angles of CIELAB at which these words change; common practice, no source. */
const HUES: readonly (readonly [number, string])[] = [
  [25, 'pink-red'],
  [50, 'red'],
  [80, 'orange'],
  [108, 'yellow'],
  [137, 'yellow-green'],
  [165, 'green'],
  [192, 'blue-green'],
  [220, 'turquoise blue'],
  [248, 'greenish blue'],
  [275, 'blue'],
  [303, 'violet-blue'],
  [330, 'violet'],
  [360, 'pink'],
];

function roughly(lab: Lab): string {
  const [lightness, chroma, hue] = lchFromLab(lab);
  const light = lightness > 75 ? 'pale' : lightness > 40 ? 'medium' : 'dark';
  if (chroma < 6) return `${light} grey`;
  const strength = chroma < 20 ? 'greyish' : chroma < 45 ? 'moderate' : 'strong';
  return `${light}, ${strength} ${HUES.find(([to]) => hue <= to)?.[1] ?? 'colour'}`;
}
