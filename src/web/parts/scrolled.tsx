import type { ReactNode } from 'react';

/** What is wider than some screens and scrolled in its own frame, by finger or arrow keys. */
export function Scrolled({
  label,
  bench = false,
  children,
}: {
  readonly label: string;
  /** On the ground colours are judged on. */
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
