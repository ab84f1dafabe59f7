import { type ReactNode, useRef } from 'react';

/**
 * What is sent by Enter or by its button. While a sending is under way another press does nothing,
 * so that nothing is kept twice.
 */
export function Form({
  onSend,
  className,
  label,
  children,
}: {
  readonly onSend: () => unknown;
  readonly className?: string;
  /** Notice to ears, where no heading does. */
  readonly label?: string;
  readonly children: ReactNode;
}) {
  const sending = useRef(false);
  return (
    <form
      className={className}
      aria-label={label}
      onSubmit={async (event) => {
        event.preventDefault();
        if (sending.current) return;
        sending.current = true;
        try {
          await onSend();
        } finally {
          sending.current = false;
        }
      }}
    >
      {children}
    </form>
  );
}
