import './empty-state.css';
import type { ReactNode } from 'react';

/** Empty places drawn: wanted, predicted and six pieces; tiles; blocks; even steps with pieces below. */
const PLACES = { mix: 8, tiles: 8, blocks: 12, steps: 10 } as const;

/** A place with nothing in it yet: why, and what to do first. */
export function EmptyState({
  title,
  children,
  actions,
  whole = false,
  picture,
}: {
  readonly title: string;
  /** The only content of the screen, so that its title is the screen's heading. */
  readonly whole?: boolean;
  readonly children: ReactNode;
  readonly actions?: ReactNode;
  /** The same picture as with colours, in hatching. */
  readonly picture?: keyof typeof PLACES;
}) {
  const text = (
    <div className="empty">
      {whole ? <h1 className="empty-title">{title}</h1> : <h2>{title}</h2>}
      <p>{children}</p>
      {actions === undefined ? null : <div className="actions">{actions}</div>}
    </div>
  );
  if (picture === undefined) return text;
  return (
    <div className={whole ? 'screen' : 'stack'}>
      <div className="bench across empty-picture" data-of={picture} aria-hidden="true">
        {Array.from({ length: PLACES[picture] }, (_, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: empty places are alike
          <span key={i} className="no-colour" />
        ))}
      </div>
      {text}
    </div>
  );
}
