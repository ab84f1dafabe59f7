import '../look/stock.css';
import '../look/tiles.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { useAll } from '../book/queries.ts';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tabs } from '../parts/tabs.tsx';
import { BlockDialog } from './stock/block-dialog.tsx';
import { Boxes } from './stock/boxes.tsx';
import { CompareLines } from './stock/compare-lines.tsx';
import { Figures } from './stock/figures.tsx';
import { LineTrays } from './stock/line-trays.tsx';
import { NeedsCare } from './stock/needs-care.tsx';
import { useOnHand } from './stock/on-hand.ts';
import { Powders } from './stock/powders.tsx';
import { ShortNames } from './stock/short-names.tsx';
import type { StockQuestion, StockView } from './stock/stock-question.ts';

const VIEWS: readonly (readonly [StockView, string])[] = [
  ['blocks', 'Blocks'],
  ['boxes', 'Boxes'],
  ['compare', 'Compare lines'],
  ['figures', 'Figures'],
  ['powders', 'Powders'],
  ['names', 'Short names'],
];

/** Which clays do I own, what runs low, and where are they? */
export function Stock() {
  const { view = 'blocks', block: asked } = useSearch({ strict: false }) as StockQuestion;
  const navigate = useNavigate();
  const blocks = useAll('block');
  const [opened, setOpened] = useState(asked);
  const stock = useOnHand();
  if (blocks.isPending) return <JobProgress what="Loading stock" />;
  if (blocks.records.length === 0) {
    return (
      <EmptyState
        whole
        picture="blocks"
        title="No blocks yet"
        actions={
          <Link className="button" data-kind="main" to="/">
            Add your blocks
          </Link>
        }
      >
        Add your blocks from a photo, or choose their colours by eye.
      </EmptyState>
    );
  }
  const block = opened === undefined ? undefined : blocks.byId.get(opened);
  const close = () => {
    setOpened(undefined);
    if (asked !== undefined) {
      void navigate({ to: '/stock', search: view === 'blocks' ? {} : { view }, replace: true });
    }
  };
  return (
    <div className="screen stock">
      <header className="head-line">
        <h1>Stock</h1>
        <Tabs label="Stock">
          {VIEWS.map(([key, words]) => (
            <Link
              key={key}
              to="/stock"
              search={key === 'blocks' ? {} : { view: key }}
              activeOptions={{ exact: true, includeSearch: true }}
              activeProps={{ 'aria-current': 'page' }}
            >
              {words}
            </Link>
          ))}
          <Link to="/buy-or-mix">Buy or mix</Link>
          <Link to="/buying">Buying list</Link>
          <Link to="/wishes">Wish list</Link>
          <Link to="/other-clays">Other clays</Link>
          <Link to="/colour-range">Colour range</Link>
          <Link to="/bend-tests">Bend tests</Link>
          <Link to="/bake">Bake</Link>
        </Tabs>
        {view === 'blocks' ? (
          <div className="actions">
            <Link className="button" data-kind="main" to="/">
              Add blocks
            </Link>
          </div>
        ) : null}
      </header>
      {view === 'blocks' ? (
        <>
          <LineTrays stock={stock} onOpen={setOpened} />
          <NeedsCare blocks={blocks.records} stock={stock} onOpen={setOpened} />
        </>
      ) : null}
      {view === 'boxes' ? <Boxes /> : null}
      {view === 'compare' ? <CompareLines onOpen={setOpened} /> : null}
      {view === 'figures' ? <Figures /> : null}
      {view === 'powders' ? <Powders /> : null}
      {view === 'names' ? <ShortNames /> : null}
      {block === undefined ? null : (
        <BlockDialog block={block} onHand={stock?.get(block.id)} onClose={close} />
      )}
    </div>
  );
}
