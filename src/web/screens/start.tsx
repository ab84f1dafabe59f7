import './start/start.css';
import { useEffect, useState } from 'react';
import { useColours } from '../book/colours.ts';
import { useDemo } from '../book/demo.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Cautions } from '../parts/cautions.tsx';
import { DemoClearing, DemoInside } from '../parts/demo-inside.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { UseYourPhone } from '../parts/use-your-phone.tsx';
import { AddBlocks } from './add-blocks.tsx';
import { hasBlockDrafts, NO_BLOCK_DRAFTS } from './blocks/block-drafts.ts';
import { count } from './count.ts';
import { EmptyTrays, OwnTrays } from './start/own-trays.tsx';
import {
  WhatGivesThisColour,
  WhatRunsLow,
  WhatWasThatGreen,
  WhichTileNext,
} from './start/questions.tsx';

type Way = 'picture' | 'eye';

/** The user's own blocks, then the questions people come with, each already half answered. */
export function Start() {
  const blocks = useAll('block');
  const colours = useColours();
  const [way, setWay] = useState<Way | undefined>();
  const [begun, setBegun] = useLocalStorage('blocks begun', NO_BLOCK_DRAFTS, hasBlockDrafts);
  const demo = useDemo();
  // Another view of the same address starts at its top.
  // biome-ignore lint/correctness/useExhaustiveDependencies: runs whenever the view changes
  useEffect(() => {
    window.scrollTo(0, 0);
  }, [way]);
  if (blocks.isPending || colours.isPending) return <JobProgress what="Loading your book" />;
  const coloured = blocks.records.filter(({ id }) => colours.of(id) !== undefined).length;
  const empty = blocks.records.length === 0;

  if (way !== undefined) {
    return (
      <AddBlocks
        way={way}
        begun={begun}
        onChange={setBegun}
        onSaved={() => {
          setBegun(NO_BLOCK_DRAFTS);
          setWay(undefined);
        }}
        onCancel={() => setWay(undefined)}
      />
    );
  }
  const addBlocks = (
    <div className="actions">
      <Button onPress={() => setWay('picture')}>
        {empty ? 'Photograph your blocks' : 'Add blocks from a picture'}
      </Button>
      <Button onPress={() => setWay('eye')}>
        {empty ? 'Choose colours by eye' : 'Add a block by eye'}
      </Button>
    </div>
  );
  return (
    <div className="screen start">
      {empty ? (
        <>
          <header className="start-empty">
            <h1>Put your first blocks in the drawer</h1>
            <p className="lead">One picture of them and their names is enough for rough recipes.</p>
          </header>
          <div>
            <EmptyTrays />
            <div className="start-empty">
              <div className="actions">
                <Button kind="main" onPress={() => setWay('picture')}>
                  Photograph your blocks
                </Button>
                <Button onPress={() => setWay('eye')}>Choose colours by eye</Button>
                <UseYourPhone />
                {demo.offered ? (
                  <Button kind="quiet" isDisabled={demo.busy} onPress={() => demo.load()}>
                    Look round in the demo studio
                  </Button>
                ) : null}
              </div>
              <p className="small soft">
                For a photo, put the blocks side by side near a window, out of the sun. By eye, hold
                a block next to the screen and move three sliders.
              </p>
            </div>
          </div>
        </>
      ) : (
        <h1 className="unseen">{demo.inside > 0 ? 'Demo studio' : 'Your studio'}</h1>
      )}
      <DemoInside demo={demo} />
      {begun.drafts.length === 0 ? null : (
        <section className="part" aria-label="Blocks to finish">
          <p className="lead">
            You have {count(begun.drafts.length, 'block')} that you did not save yet.
          </p>
          <div className="actions">
            <Button
              onPress={() =>
                setWay(
                  begun.drafts.some(({ picture }) => picture !== undefined) ? 'picture' : 'eye',
                )
              }
            >
              Continue
            </Button>
            <Button kind="quiet" onPress={() => setBegun(NO_BLOCK_DRAFTS)}>
              Discard
            </Button>
          </div>
        </section>
      )}
      {empty ? null : <OwnTrays more={addBlocks} />}
      {!empty && coloured < 2 ? (
        <p className="lead">Add one more block with a colour, and recipes can be found.</p>
      ) : null}
      <div className="questions">
        <WhatGivesThisColour usable={coloured >= 2} />
        <WhatWasThatGreen />
        <WhichTileNext />
        <WhatRunsLow />
      </div>
      <DemoClearing demo={demo} />
      <Cautions topic="heat" />
    </div>
  );
}
