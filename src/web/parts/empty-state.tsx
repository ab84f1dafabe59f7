import type { ReactNode } from 'react';

/** A place with nothing in it yet: why, and what to do first. */
export function EmptyState({
  title,
  children,
  actions,
  whole = false,
}: {
  readonly title: string;
  /** The only content of the screen, so that its title is the screen's heading. */
  readonly whole?: boolean;
  readonly children: ReactNode;
  readonly actions?: ReactNode;
}) {
  return (
    <div className="empty">
      {whole ? <h1 className="empty-title">{title}</h1> : <h2>{title}</h2>}
      <p>{children}</p>
      {actions === undefined ? null : <div className="actions">{actions}</div>}
    </div>
  );
}
