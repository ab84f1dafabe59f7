import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import { client } from '../book/client.ts';
import { useColours } from '../book/colours.ts';
import { useDemo } from '../book/demo.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { byHue } from '../colour/by-hue.ts';
import { Button } from '../parts/button.tsx';
import { DemoClearing, DemoInside } from '../parts/demo-inside.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Sample } from '../parts/tile.tsx';
import { AddBlocks } from './add-blocks.tsx';
import { hasBlockDrafts, NO_BLOCK_DRAFTS } from './blocks/block-drafts.ts';

type Way = 'picture' | 'eye';

/** Blocks laid out here; all of them lie in Stock. */
const SHOWN = 64;

/** The first five minutes: her blocks, an aim, three rough recipes; later, what to do next. */
export function Start() {
  const blocks = useAll('block');
  const { data: mixes = 0 } = useQuery({ queryKey: ['counts', 'mix'], queryFn: countMixes });
  const models = useAll('clay-model');
  const colours = useColours();
  const { nameOf } = useBlockNames();
  const [way, setWay] = useState<Way | undefined>();
  const [begun, setBegun] = useLocalStorage('blocks begun', NO_BLOCK_DRAFTS, hasBlockDrafts);
  const demo = useDemo();
  // Another face of the same address begins at its top.
  // biome-ignore lint/correctness/useExhaustiveDependencies: whenever the face is another
  useEffect(() => {
    window.scrollTo(0, 0);
  }, [way]);
  if (blocks.isPending || colours.isPending) return <JobProgress what="Loading your book" />;
  const coloured = blocks.records
    .flatMap(({ id }) => {
      const lab = colours.of(id)?.lab;
      return lab === undefined ? [] : [{ id, lab }];
    })
    .toSorted((one, other) => byHue(one.lab, other.lab));
  const empty = blocks.records.length === 0;

  if (way !== undefined) {
    return (
      <AddBlocks
        way={way}
        begun={begun}
        onChange={setBegun}
        onKept={() => {
          setBegun(NO_BLOCK_DRAFTS);
          setWay(undefined);
        }}
        onAway={() => setWay(undefined)}
      />
    );
  }
  return (
    <div className="screen">
      <header>
        <h1>
          {empty ? 'What clays do you own?' : demo.inside > 0 ? 'Demo studio' : 'Your studio'}
        </h1>
        <p className="lead">
          {empty
            ? 'Show your blocks, choose a colour you want, and you have three recipes to roll in five minutes. Nothing needs to be measured yet.'
            : `${count(blocks.records.length, 'block')}, ${count(mixes, 'mix', 'mixes')} in the book${
                models.records.length === 0 ? '; nothing learned from baked tiles yet' : ''
              }.`}
        </p>
      </header>
      <DemoInside demo={demo} />
      {begun.drafts.length === 0 ? null : (
        <section className="part" aria-label="Blocks begun">
          <p className="lead">
            You were naming {count(begun.drafts.length, 'block')}; they are still here, not in the
            book yet.
          </p>
          <div className="actions">
            <Button
              kind="main"
              onPress={() =>
                setWay(
                  begun.drafts.some(({ picture }) => picture !== undefined) ? 'picture' : 'eye',
                )
              }
            >
              Go on naming them
            </Button>
            <Button kind="quiet" onPress={() => setBegun(NO_BLOCK_DRAFTS)}>
              Discard
            </Button>
          </div>
        </section>
      )}
      {coloured.length >= 2 ? (
        <div className="actions">
          <Link className="button" data-kind="main" to="/find">
            Find a colour
          </Link>
          <Link className="button" to="/tiles/photo">
            Read tiles from a photo
          </Link>
          <Button onPress={() => setWay('picture')}>More blocks from a picture</Button>
          <Button onPress={() => setWay('eye')}>A block by eye</Button>
        </div>
      ) : (
        <div className="start-ways">
          <section className="part">
            <h2>A picture of them</h2>
            <p>
              Lay your blocks side by side near a window, out of the sun, and take one picture. Then
              tap each block and name it.
            </p>
            <div className="actions">
              <Button kind="main" onPress={() => setWay('picture')}>
                Begin with a picture
              </Button>
            </div>
          </section>
          <section className="part">
            <h2>By eye</h2>
            <p>
              No picture at hand? Hold a block beside the screen and make its colour with three
              sliders.
            </p>
            <div className="actions">
              <Button onPress={() => setWay('eye')}>Make a colour by eye</Button>
            </div>
          </section>
          <section className="part">
            <h2>No colour at all</h2>
            <p>
              A recipe can be kept with no colour whatever: type the pages of your paper book as
              they are.
            </p>
            <div className="actions">
              <Link className="button" to="/book/write">
                Type in old recipes
              </Link>
            </div>
          </section>
        </div>
      )}
      {demo.offered ? (
        <section className="part">
          <h2>Or try the demo first</h2>
          <p>
            An invented studio can move into this empty book: tide-pool creatures, fifty clays of
            three made-up lines, sixty mixes, baked tiles. Find, mix and undo as you like; one press
            clears it out again.
          </p>
          <div className="actions">
            <Button isDisabled={demo.busy} onPress={() => void demo.load()}>
              Load the demo
            </Button>
          </div>
        </section>
      ) : null}
      {coloured.length === 0 ? null : (
        <section
          className="bench"
          aria-label={demo.inside > 0 ? 'The invented blocks' : 'Your blocks'}
        >
          <div className="swatches" data-size="small">
            {coloured.slice(0, SHOWN).map(({ id, lab }) => (
              <Sample key={id} lab={lab} name={nameOf(id)} />
            ))}
          </div>
          {coloured.length > SHOWN ? <Link to="/stock">All {coloured.length} of them</Link> : null}
        </section>
      )}
      <DemoClearing demo={demo} />
      <p className="soft small">
        Clay is baked in a hot oven: an adult runs it, the room is aired, and the maker's label
        decides how hot and how long. Tools that touched clay do not go back to food.
      </p>
    </div>
  );
}

async function countMixes(): Promise<number> {
  const { body } = await client.call('countRecords', {});
  return body.counts.find(({ kind }) => kind === 'mix')?.live ?? 0;
}

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n.toLocaleString('en')} ${n === 1 ? one : many}`;
}
