import type { ReactNode } from 'react';
import { Button as AriaButton, type ButtonProps } from 'react-aria-components';

/** A word to press. One `main` a screen; `quiet` for what is seldom wanted. */
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
