import { type ComponentType, type LazyExoticComponent, lazy } from 'react';
import { idleLater } from '../book/idle.ts';

/**
 * A part of a screen whose script is no part of the screen's own: it comes once the first screen is past, or
 * when the part is shown, within a `Suspense`.
 */
export function later<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): LazyExoticComponent<ComponentType<Props>> {
  idleLater()
    .then(load)
    // Whoever opens the part asks again.
    .catch(() => {});
  return lazy(async () => ({ default: await load() }));
}
