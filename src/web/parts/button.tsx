import { type PointerEvent, type ReactNode, useRef } from 'react';
import { Button as AriaButton, type ButtonProps, type PressEvent } from 'react-aria-components';

/**
 * A button. One `main` per screen; `quiet` for what is rarely needed. While what a press began still runs,
 * another press does nothing: nothing is saved twice.
 */
export function Button({
  kind = 'plain',
  children,
  onPress,
  ...rest
}: Omit<ButtonProps, 'children' | 'className' | 'onPress'> & {
  readonly kind?: 'main' | 'plain' | 'quiet';
  readonly children: ReactNode;
  /** May return a promise, which ends when the work of the press is done. */
  readonly onPress?: ((event: PressEvent) => unknown) | undefined;
}) {
  const running = useRef(false);
  const press = async (event: PressEvent) => {
    if (running.current) return;
    running.current = true;
    try {
      await onPress?.(event);
    } finally {
      running.current = false;
    }
  };
  return (
    <AriaButton
      {...rest}
      onPress={press}
      onPointerDownCapture={rest.isDisabled ? unheard : undefined}
      className="button"
      data-kind={kind}
    >
      {children}
    </AriaButton>
  );
}

/**
 * The library hears a press begin on a button that cannot be pressed, and then waits for its end: the first
 * press after that would do nothing.
 */
const unheard = (event: PointerEvent) => event.stopPropagation();
