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
    const chosen = line.current?.querySelector<HTMLElement>('[aria-current]');
    if (here !== '' && chosen != null) bringToMiddle(chosen);
  }, [here]);
  return (
    <nav
      ref={line}
      className={className}
      aria-label={label}
      onFocus={({ target }) => bringToMiddle(target)}
    >
      {children}
    </nav>
  );
}

/** So that those beside it are seen too. */
function bringToMiddle(link: HTMLElement): void {
  const line = link.parentElement;
  if (line !== null) line.scrollLeft = link.offsetLeft - (line.clientWidth - link.offsetWidth) / 2;
}
