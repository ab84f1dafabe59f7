import type { ReactNode } from 'react';

/** Content wider than some screens, which scrolls in its own frame by finger or arrow keys. */
export function Scrolled({
  label,
  bench = false,
  children,
}: {
  readonly label: string;
  /** On the background for judging colours. */
  readonly bench?: boolean;
  readonly children: ReactNode;
}) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be in reach of arrow keys (WCAG 2.2, 2.1.1)
    <section className={bench ? 'bench scroll' : 'scroll'} aria-label={label} tabIndex={0}>
      {children}
    </section>
  );
}
