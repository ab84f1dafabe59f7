import type { ReactNode } from 'react';

/** Where there is nothing yet: why, and what to do first. */
export function EmptyState({
  title,
  children,
  doings,
  whole = false,
}: {
  readonly title: string;
  /** It is all the screen shows, so that its title is the screen's. */
  readonly whole?: boolean;
  readonly children: ReactNode;
  readonly doings?: ReactNode;
}) {
  return (
    <div className="empty">
      {whole ? <h1 className="empty-title">{title}</h1> : <h2>{title}</h2>}
      <p>{children}</p>
      {doings === undefined ? null : <div className="doings">{doings}</div>}
    </div>
  );
}
