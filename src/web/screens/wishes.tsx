import './piles/piles.css';
import './wishes/wishes.css';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { wishCsv, wishesInWords, wishJson, wishText } from '../../domain/wish-list.ts';
import { client } from '../book/client.ts';
import { showNotice } from '../book/notice.ts';
import { useAll } from '../book/queries.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { count } from './count.ts';
import { saveFile } from './share/save-file.ts';
import { AddWish } from './wishes/add-wish.tsx';
import { SavedWishes } from './wishes/saved-wishes.tsx';
import { WhatHelps } from './wishes/what-helps.tsx';

/** Which colours would I like to have, and which would help most? */
export function WishList() {
  const wishes = useAll('wish');
  const lines = useAll('line').records;
  const blocks = useAll('block').records;
  const [adding, setAdding] = useState(false);
  const named = useMemo(
    () => wishesInWords(wishes.records, lines, blocks),
    [wishes.records, lines, blocks],
  );
  if (wishes.isPending) return <JobProgress what="Loading your wish list" />;
  return (
    <div className="screen piles wishes">
      <header className="head-line">
        <h1>Wish list</h1>
        <div className="actions">
          <Button onPress={() => setAdding(true)}>Add a colour</Button>
          <Link to="/stock" search={{ view: 'compare' }}>
            Compare lines
          </Link>
        </div>
      </header>
      {named.length === 0 ? (
        <p className="lead">No colour is on your list yet.</p>
      ) : (
        <>
          <SavedWishes wishes={named} records={wishes.byId} />
          <div className="actions wishes-send">
            <Button onPress={() => copy(wishText(named), named.length)}>Copy as text</Button>
            <Button kind="quiet" onPress={() => save(wishCsv(named), 'wishes.csv')}>
              Save as CSV
            </Button>
            <Button kind="quiet" onPress={() => save(wishJson(named), 'wishes.json')}>
              Save as JSON
            </Button>
            <Button kind="quiet" onPress={() => print()}>
              Print (PDF)
            </Button>
          </div>
        </>
      )}
      <StudioGate>
        {(clays, studio) => <WhatHelps clays={clays} studio={studio} wishes={wishes.records} />}
      </StudioGate>
      {adding ? <AddWish onClose={() => setAdding(false)} /> : null}
    </div>
  );
}

async function copy(text: string, colours: number): Promise<void> {
  try {
    // Absent where the page came over plain http from another machine.
    if (navigator.clipboard === undefined) return save(text, 'wishes.txt');
    await navigator.clipboard.writeText(text);
    showNotice({ text: `Copied ${count(colours, 'colour')}` });
  } catch {
    await save(text, 'wishes.txt');
  }
}

function save(text: string, name: string): Promise<void> {
  return saveFile(async () => ({ body: new Blob([text]) }), name);
}

function print(): Promise<void> {
  return saveFile(() => client.call('printSheets', { body: { what: 'wishes' } }), 'wishes.pdf');
}
