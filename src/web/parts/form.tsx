import { type ReactNode, useRef } from 'react';

/** A form sent by Enter or its button. While one sending runs, another does nothing: nothing is saved twice. */
export function Form({
  onSend,
  className,
  label,
  children,
}: {
  readonly onSend: () => unknown;
  readonly className?: string;
  /** For screen readers, where the form has no heading. */
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
