import { useSyncExternalStore } from 'react';

export type Frame = 'as the device' | 'light' | 'dark';
export type Surround = 'light' | 'mid' | 'dark';

/** How she likes the page on this device; nothing of it is of the book. */
export interface Look {
  readonly frame: Frame;
  readonly surround: Surround;
}

/** As public/first-look.js reads it, before anything is painted. */
const KEY = 'kneadwell look';

let look: Look | undefined;
const hearers = new Set<() => void>();

/** What first-look.js found kept stands on the document; the style sheet answers to nothing else. */
function lookNow(): Look {
  const { frame, surround } = document.documentElement.dataset;
  look ??= {
    frame: frame === 'light' || frame === 'dark' ? frame : 'as the device',
    surround: surround === 'light' || surround === 'dark' ? surround : 'mid',
  };
  return look;
}

export function setLook(part: Partial<Look>): void {
  look = { ...lookNow(), ...part };
  try {
    localStorage.setItem(KEY, JSON.stringify(look));
  } catch {
    // A browser that keeps nothing shows it so until the page is closed.
  }
  const { dataset } = document.documentElement;
  if (look.frame === 'as the device') delete dataset.frame;
  else dataset.frame = look.frame;
  dataset.surround = look.surround;
  for (const hear of hearers) hear();
}

export function useLook(): Look {
  return useSyncExternalStore((hear) => {
    hearers.add(hear);
    return () => hearers.delete(hear);
  }, lookNow);
}
