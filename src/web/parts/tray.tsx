import './tray.css';
import type { ReactNode } from 'react';

/** One line of clays in its tray, the label in the label column; above it on a phone. */
export function Tray({
  name,
  link,
  note,
  more,
  children,
}: {
  readonly name: string;
  /** Where the whole tray leads. */
  readonly link?: (words: string) => ReactNode;
  readonly note?: ReactNode;
  /** Beside the tray, where there is room. */
  readonly more?: ReactNode;
  /** Blocks, each in an `li`. */
  readonly children: ReactNode;
}) {
  return (
    <section className="tray" aria-label={name}>
      <div className="tray-label">
        <h2>{link === undefined ? name : link(name)}</h2>
        {note === undefined ? null : <p className="small soft">{note}</p>}
      </div>
      <div className="tray-row">
        <ul className="tray-blocks bench">{children}</ul>
        {more}
      </div>
    </section>
  );
}
