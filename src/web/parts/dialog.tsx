import type { ReactNode } from 'react';
import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';

/** A sheet laid over the page for one question; Escape and a press beside it lay it away. */
export function Sheet({
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
  return (
    <ModalOverlay
      className="veil"
      isDismissable
      isOpen={isOpen}
      onOpenChange={(open) => (open ? undefined : onClose())}
    >
      <Modal className="sheet">
        <Dialog className="sheet-inside">
          <Heading slot="title" level={2}>
            {title}
          </Heading>
          {children}
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}
