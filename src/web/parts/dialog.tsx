import { type ReactNode, Suspense } from 'react';
import { later } from './later.ts';
import { useBackCloses } from './use-back-closes.ts';

const DialogShown = later(async () => (await import('./dialog-shown.tsx')).DialogShown);

/** While the script of a dialog comes. */
export function DialogComing() {
  return <div className="veil" role="progressbar" aria-label="Opening" />;
}

/** A dialog over the page; Escape and a press beside it and Back close it. */
export function Dialog({
  isOpen,
  ...shown
}: {
  readonly title: string;
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  useBackCloses(isOpen, shown.onClose);
  return isOpen ? (
    <Suspense fallback={<DialogComing />}>
      <DialogShown {...shown} />
    </Suspense>
  ) : null;
}
