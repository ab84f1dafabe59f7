import type { ReactNode } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';

/** An open dialog; Escape and a press beside it close it. */
export function DialogShown({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  return (
    <ModalOverlay
      className="veil"
      isDismissable
      isOpen
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
