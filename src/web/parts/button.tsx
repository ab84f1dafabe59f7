import type { ReactNode } from 'react';
import { Button as AriaButton, type ButtonProps } from 'react-aria-components';

/** A button. One `main` per screen; `quiet` for what is rarely needed. */
export function Button({
  kind = 'plain',
  children,
  ...rest
}: Omit<ButtonProps, 'children' | 'className'> & {
  readonly kind?: 'main' | 'plain' | 'quiet';
  readonly children: ReactNode;
}) {
  return (
    <AriaButton {...rest} className="button" data-kind={kind}>
      {children}
    </AriaButton>
  );
}
