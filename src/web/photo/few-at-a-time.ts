import { startTransition, useEffect, useState } from 'react';

const STEP = 1;
const PAUSE_MS = 16;

/** How many items of a long list to render: one more per frame, so that the page stays responsive. */
export function useFewAtATime(total: number): number {
  const [drawn, setDrawn] = useState(STEP);
  useEffect(() => {
    if (drawn >= total) return;
    const next = setTimeout(() => startTransition(() => setDrawn((now) => now + STEP)), PAUSE_MS);
    return () => clearTimeout(next);
  }, [drawn, total]);
  return Math.min(drawn, total);
}
