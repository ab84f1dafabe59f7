/** The little of culori 4 that the tests use; the package has no types of its own. */
declare module 'culori' {
  type CuloriColour = { mode: string } & Record<string, number | string>;
  export function converter(
    mode: string,
  ): (colour: CuloriColour | string) => Record<string, number>;
  export function differenceCiede2000(): (one: CuloriColour, other: CuloriColour) => number;
}
