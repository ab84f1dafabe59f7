/** Nouns of the colour names, by which people look for a colour: a `light bluish green` is a green. */
export const COLOUR_FAMILIES = [
  'pink',
  'red',
  'orange',
  'brown',
  'yellow',
  'olive',
  'green',
  'blue',
  'violet',
  'purple',
  'white',
  'gray',
  'black',
] as const;
export type ColourFamily = (typeof COLOUR_FAMILIES)[number];
