import './tabs.css';
import { useRouterState } from '@tanstack/react-router';
import { type ReactNode, useEffect, useRef } from 'react';

/** The sides of one place of the menu, as links; on a phone one line that is moved sideways. */
export function Tabs({
  label,
  className = 'tabs',
  children,
}: {
  readonly label: string;
  readonly className?: string;
  readonly children: ReactNode;
}) {
  const line = useRef<HTMLElement>(null);
  const here = useRouterState({ select: ({ location }) => location.href });
  useEffect(() => {
    const chosen = line.current?.querySelector<HTMLElement>(`[aria-current]`);
    if (here === '' || chosen == null || line.current === null) return;
    // The chosen one in the middle, so that those beside it are seen.
    line.current.scrollLeft =
      chosen.offsetLeft - (line.current.clientWidth - chosen.offsetWidth) / 2;
  }, [here]);
  return (
    <nav ref={line} className={className} aria-label={label}>
      {children}
    </nav>
  );
}
