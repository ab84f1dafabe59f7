import type { ReactNode } from 'react';
import { Checkbox, type CheckboxProps } from 'react-aria-components';

/** A box to tick; what is ticked is told by a filled piece. */
export function Tick({
  children,
  ...rest
}: Omit<CheckboxProps, 'children' | 'className'> & { readonly children: ReactNode }) {
  return (
    <Checkbox {...rest} className="tick">
      <span className="tick-mark" aria-hidden="true" />
      <span>{children}</span>
    </Checkbox>
  );
}
