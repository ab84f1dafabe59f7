import { useSyncExternalStore } from 'react';

export type Frame = 'as the device' | 'light' | 'dark';
export type Surround = 'light' | 'mid' | 'dark';

/** How she likes the page on this device; nothing of it is of the book. */
export interface Look {
  readonly frame: Frame;
  readonly surround: Surround;
}

const KEY = 'kneadwell look';
const FRAMES: readonly Frame[] = ['as the device', 'light', 'dark'];
const SURROUNDS: readonly Surround[] = ['light', 'mid', 'dark'];

let look: Look = read();
const hearers = new Set<() => void>();

function read(): Look {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Look>;
    return {
      frame: FRAMES.find((frame) => frame === kept.frame) ?? 'as the device',
      surround: SURROUNDS.find((surround) => surround === kept.surround) ?? 'mid',
    };
  } catch {
    // A browser that keeps nothing shows the page all the same.
    return { frame: 'as the device', surround: 'mid' };
  }
}

export function setLook(part: Partial<Look>): void {
  look = { ...look, ...part };
  try {
    localStorage.setItem(KEY, JSON.stringify(look));
  } catch {
    // As above: it holds until the page is closed.
  }
  applyLook();
  for (const hear of hearers) hear();
}

export function applyLook(): void {
  const { dataset } = document.documentElement;
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const frameNow = () => {
    dataset.frame = look.frame === 'as the device' ? (dark.matches ? 'dark' : 'light') : look.frame;
  };
  frameNow();
  dark.onchange = frameNow;
  dataset.surround = look.surround;
}

export function useLook(): Look {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => look,
  );
}
