/** What anybody who is about to move something does first. */
const SIGNS = ['pointermove', 'pointerdown', 'keydown'] as const;

/**
 * Resolves once the user has moved the pointer over the page, pressed or typed: what only makes moves faster
 * is made ready then, and keeps no first screen waiting.
 */
export const firstTouch: Promise<void> = new Promise((resolve) => {
  const touched = () => {
    for (const sign of SIGNS) globalThis.removeEventListener?.(sign, touched, true);
    resolve();
  };
  for (const sign of SIGNS) {
    globalThis.addEventListener?.(sign, touched, { capture: true, passive: true });
  }
});
