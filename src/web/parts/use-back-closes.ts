import { useEffect, useRef } from 'react';

let opened = 0;
let leaving: ReturnType<typeof setTimeout> | undefined;

// A page that was loaded again shows no dialog, whatever its entry in the history says.
if (globalThis.history !== undefined && isDialog()) {
  window.history.replaceState({ ...window.history.state, dialog: undefined }, '');
}

/** Back, by button or gesture, closes what is open and stays on the page. */
export function useBackCloses(isOpen: boolean, onClose: () => void): void {
  const close = useRef(onClose);
  useEffect(() => {
    close.current = onClose;
  });
  useEffect(() => {
    if (!isOpen) return;
    const own = `dialog ${++opened}`;
    if (leaving !== undefined && isDialog()) {
      // One dialog follows another: the entry is used again.
      window.history.replaceState({ ...window.history.state, dialog: own }, '');
    } else {
      window.history.pushState({ ...window.history.state, dialog: own }, '');
    }
    clearTimeout(leaving);
    leaving = undefined;
    const onPop = () => {
      if (dialogNow() !== own) close.current();
    };
    window.addEventListener('popstate', onPop);
    return () => {
      window.removeEventListener('popstate', onPop);
      if (dialogNow() !== own) return;
      // A page that goes on in the same moment has its own entry by then.
      leaving = setTimeout(() => {
        leaving = undefined;
        if (dialogNow() === own) window.history.back();
      });
    };
  }, [isOpen]);
}

function dialogNow(): string | undefined {
  return (window.history.state as { readonly dialog?: string } | null)?.dialog;
}

function isDialog(): boolean {
  return dialogNow() !== undefined;
}
