import { useSyncExternalStore } from 'react';

export type Theme = 'as the device' | 'light' | 'dark';
export type Surround = 'light' | 'mid' | 'dark';

/** The theme of the page on this device; not part of the book. */
export interface Look {
  readonly frame: Theme;
  readonly surround: Surround;
}

/** As public/first.js reads it, before anything is painted. */
const KEY = 'kneadwell look';

let look: Look | undefined;
const listeners = new Set<() => void>();

/** public/first.js puts the saved theme on the document, where the style sheets read it. */
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
    // Without storage the theme lasts until the page is closed.
  }
  const { dataset } = document.documentElement;
  if (look.frame === 'as the device') delete dataset.frame;
  else dataset.frame = look.frame;
  dataset.surround = look.surround;
  for (const listener of listeners) listener();
}

export function useLook(): Look {
  return useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, lookNow);
}
