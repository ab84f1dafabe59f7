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

/** Blocks shown here; Stock shows all. */
const SHOWN = 64;

/** The first five minutes: blocks, a colour, three rough recipes; later, what to do next. */
export function Start() {
  const blocks = useAll('block');
  const { data: mixes = 0 } = useQuery({ queryKey: ['counts', 'mix'], queryFn: countMixes });
  const models = useAll('clay-model');
  const colours = useColours();
  const { nameOf } = useBlockNames();
  const [way, setWay] = useState<Way | undefined>();
  const [begun, setBegun] = useLocalStorage('blocks begun', NO_BLOCK_DRAFTS, hasBlockDrafts);
  const demo = useDemo();
  // Another view of the same address starts at its top.
  // biome-ignore lint/correctness/useExhaustiveDependencies: runs whenever the view changes
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
        onSaved={() => {
          setBegun(NO_BLOCK_DRAFTS);
          setWay(undefined);
        }}
        onCancel={() => setWay(undefined)}
      />
    );
  }
  return (
    <div className="screen">
      <header>
        <h1>
          {empty ? 'Which clays do you own?' : demo.inside > 0 ? 'Demo studio' : 'Your studio'}
        </h1>
        <p className="lead">
          {empty
            ? 'Add your blocks, choose a colour, and get three recipes in five minutes. No measuring needed yet.'
            : `${count(blocks.records.length, 'block')}, ${count(mixes, 'mix', 'mixes')} in the book${
                models.records.length === 0 ? '; no clay model yet' : ''
              }.`}
        </p>
      </header>
      <DemoInside demo={demo} />
      {begun.drafts.length === 0 ? null : (
        <section className="part" aria-label="Blocks to finish">
          <p className="lead">
            You have {count(begun.drafts.length, 'block')} that you did not save yet.
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
              Continue
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
            Find a recipe
          </Link>
          <Link className="button" to="/tiles/photo">
            Add tiles from a photo
          </Link>
          <Button onPress={() => setWay('picture')}>Add blocks from a photo</Button>
          <Button onPress={() => setWay('eye')}>Add a block by eye</Button>
        </div>
      ) : (
        <div className="start-ways">
          <section className="part">
            <h2>From a photo</h2>
            <p>
              Put your blocks side by side near a window, out of the sun, and take one photo. Then
              tap each block and name it.
            </p>
            <div className="actions">
              <Button kind="main" onPress={() => setWay('picture')}>
                Start with a photo
              </Button>
            </div>
          </section>
          <section className="part">
            <h2>By eye</h2>
            <p>Hold a block next to the screen and match its colour with three sliders.</p>
            <div className="actions">
              <Button onPress={() => setWay('eye')}>Choose colours by eye</Button>
            </div>
          </section>
          <section className="part">
            <h2>Without colours</h2>
            <p>You can save recipes without colours: type in your paper notes as they are.</p>
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
            Load a demo studio with 50 invented clays, 60 mixes and baked tiles. Remove it again
            with one click.
          </p>
          <div className="actions">
            <Button isDisabled={demo.busy} onPress={() => void demo.load()}>
              Load the demo
            </Button>
          </div>
        </section>
      ) : null}
      {coloured.length === 0 ? null : (
        <section className="bench" aria-label={demo.inside > 0 ? 'Demo blocks' : 'Your blocks'}>
          <div className="swatches" data-size="small">
            {coloured.slice(0, SHOWN).map(({ id, lab }) => (
              <Sample key={id} lab={lab} name={nameOf(id)} />
            ))}
          </div>
          {coloured.length > SHOWN ? (
            <Link to="/stock">Show all {coloured.length} blocks</Link>
          ) : null}
        </section>
      )}
      <DemoClearing demo={demo} />
      <p className="soft small">
        Clay is baked in a hot oven: an adult runs it and airs the room. The maker's label decides
        how hot and how long. Never use tools that touched clay for food again.
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
