import type { ReactNode } from 'react';

/** Where there is nothing yet: why, and what to do first. */
export function EmptyState({
  title,
  children,
  doings,
}: {
  readonly title: string;
  readonly children: ReactNode;
  readonly doings?: ReactNode;
}) {
  return (
    <div className="empty">
      <h2>{title}</h2>
      <p>{children}</p>
      {doings === undefined ? null : <div className="doings">{doings}</div>}
    </div>
  );
}
