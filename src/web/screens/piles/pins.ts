import type { Studio } from '../../find/studio.ts';

/** What the user has decided about a block, by its name. */
export type Pins = ReadonlyMap<string, 'always' | 'never'>;

export function nameOf(clay: string, studio: Studio): string {
  return studio.byName.get(clay)?.name ?? clay;
}
