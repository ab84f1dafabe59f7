import type { ReactNode } from 'react';
import { Checkbox, type CheckboxProps } from 'react-aria-components';

/** A check box, drawn as a piece of clay that fills when ticked. */
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
