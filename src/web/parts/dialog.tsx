import type { ReactNode } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { useBackCloses } from './use-back-closes.ts';

/** A dialog over the page; Escape and a press beside it and Back close it. */
export function Dialog({
  title,
  isOpen,
  onClose,
  children,
}: {
  readonly title: string;
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  useBackCloses(isOpen, onClose);
  return (
    <ModalOverlay
      className="veil"
      isDismissable
      isOpen={isOpen}
      onOpenChange={(open) => (open ? undefined : onClose())}
    >
      <Modal className="dialog">
        <AriaDialog className="dialog-inside">
          <Heading slot="title" level={2}>
            {title}
          </Heading>
          {children}
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
