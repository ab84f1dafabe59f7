import '../look/lump.css';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { sideInWords, sidesOf, verdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useAll } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { ClayChoices } from '../parts/clay-picker.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Stack } from '../parts/stack.tsx';
import { AddTile } from './add-tile.tsx';
import { count } from './count.ts';
import { type Looks, LooksPicker, useBakedLooks } from './lump/looks.tsx';
import { LotMix } from './lump/lot-mix.tsx';
import { MOST_MIXES, useMixesInClays } from './lump/mixes-in-clays.ts';
import { useNewLot } from './lump/use-new-lot.tsx';

/** Which mixes does this new lot change? */
export function NewLot() {
  const { block: id } = useSearch({ strict: false });
  const navigate = useNavigate();
  const blocks = useAll('block');
  const block = id === undefined ? undefined : blocks.byId.get(id);
  if (blocks.isPending) return <JobProgress what="Loading the block" />;
  if (block === undefined) {
    return (
      <div className="screen">
        <h1>Which block looks different?</h1>
        <h2 className="unseen">Your blocks</h2>
        <ClayChoices
          onChoose={(block) => void navigate({ to: '/new-lot', search: { block }, replace: true })}
        />
      </div>
    );
  }
  return (
    <StudioGate>
      {(clays, studio) =>
        studio.byBlock.has(block.id) ? (
          <Lot key={block.id} clays={clays} studio={studio} block={block} />
        ) : (
          <NoColourYet block={block} basis={clays.worker.basis} />
        )
      }
    </StudioGate>
  );
}

/** The way out where nothing is known of the old lot: its tile is read first. */
function NoColourYet({
  block,
  basis,
}: {
  readonly block: RecordOf<'block'>;
  readonly basis: Basis;
}) {
  const [isReading, setReading] = useState(false);
  const { name, code } = block.body;
  return (
    <>
      <EmptyState
        whole
        title={`A new lot of ${name}`}
        actions={
          <Button kind="main" onPress={() => setReading(true)}>
            Say how the old lot looks
          </Button>
        }
      >
        The colour of {name} is not known yet, so a new lot cannot be compared. Hold a baked tile of
        the old lot to this page first.
      </EmptyState>
      {isReading ? (
        <AddTile
          of={{ kind: 'block', id: block.id }}
          code={code}
          title={name}
          basis={basis}
          onClose={() => setReading(false)}
        />
      ) : null}
    </>
  );
}

function Lot({
  clays,
  studio,
  block,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly block: RecordOf<'block'>;
}) {
  const clay = studio.byBlock.get(block.id)?.name ?? block.body.name;
  const old = clays.byBlock.get(block.id)?.lab;
  const [looks, setLooks] = useState<Looks | undefined>();
  const baked = useBakedLooks(looks);
  const which = useMemo(() => ({ holds: block.id }), [block.id]);
  const mixes = useMixesInClays(clays, studio, which);
  const lot = useNewLot({ block, clays, studio, looks, baked });
  const question = useMemo(
    () =>
      mixes === undefined || mixes.length === 0 || baked === undefined
        ? undefined
        : {
            clay: { recipe: [{ clay, parts: 1 }], words: clay },
            looks: baked.lab,
            looksSpread: baked.spread,
            // Places come back in words, as the list is sorted again.
            wanted: mixes.map(({ asked }, i) => ({ ...asked, words: String(i) })),
            stock: studio.stock,
          },
    [mixes, baked, clay, studio.stock],
  );
  const heard = useVerb(clays, studio, 'new-lot', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const done = heard.latest?.done === true && !heard.old;
  if (mixes === undefined) return <JobProgress what="Loading your mixes" />;
  const [side] = old === undefined || baked === undefined ? [] : sidesOf(old, baked.lab);
  return (
    <div className="screen mend">
      <header className="mend-head">
        <h1>A new lot of {block.body.name}</h1>
        <span className="soft small">
          {mixes.length === 0
            ? 'no mix holds it'
            : `${count(mixes.length, 'mix', 'mixes')}${mixes.length === MOST_MIXES ? ' or more' : ''}`}
        </span>
      </header>
      <section className="bench across" aria-label="Old lot and new lot">
        <Stack
          layers={[
            { name: 'Old lot', lab: old },
            {
              name: 'New lot',
              note: looks?.state === 'raw' ? 'once baked' : undefined,
              lab: baked?.lab,
            },
          ]}
        />
      </section>
      <div className="mend-columns lot-columns">
        <Part title="How does the new lot look?">
          {looks === undefined ? (
            <p className="small">
              Bake a tile of the new lot and let it cool. Hold the tile to this page and move the
              sliders until both look the same.
            </p>
          ) : null}
          <LooksPicker looks={looks} start={old} onLooks={setLooks} thing="tile" />
        </Part>
        <section className="stack" aria-label="Mixes that change">
          {mixes.length === 0 ? (
            <p className="lead">No mix of your book holds {block.body.name}.</p>
          ) : question === undefined ? (
            <p className="lead">
              Say how the new lot looks. Then your mixes of {block.body.name} are worked out again.
            </p>
          ) : heard.fault !== undefined ? (
            <p className="warning lead">{wordsOf(heard.fault)}</p>
          ) : (
            <>
              {answer === undefined ? null : (
                <p className="lead">
                  {lotInWords(answer.after.dE00, side === undefined ? '' : sideInWords(side))}{' '}
                  {stayInWords(answer.mixes)}
                </p>
              )}
              {done ? null : (
                <JobProgress
                  what={`Working out mixes: ${answer?.mixes.length ?? 0} of ${mixes.length}`}
                  share={(answer?.mixes.length ?? 0) / mixes.length}
                  onStop={heard.stop}
                />
              )}
              <ul className="lot-list" aria-label="Mixes, the one that changes most first">
                {answer?.mixes.map((one) => {
                  const { mix } = mixes[Number(one.of)];
                  return (
                    <li key={mix.id}>
                      <LotMix affected={one} mix={mix} clays={clays} studio={studio} lot={lot} />
                    </li>
                  );
                })}
              </ul>
              {answer?.unread.map(({ of, why }) => (
                <p key={of} className="small warning">
                  {mixes[Number(of)].asked.words}: {why}
                </p>
              ))}
            </>
          )}
        </section>
        <Part title="Your stock">
          <p className="small">
            {lot.saved === undefined
              ? 'The new lot becomes a block of its own, so that what you mixed with the old one stays as it was.'
              : `Saved as ${lot.saved.name}. Mixes that you save here use this block.`}
          </p>
          {lot.button}
        </Part>
      </div>
    </div>
  );
}

/** "Beside the old lot: close, a little darker." */
function lotInWords(dE00: number, side: string): string {
  const word = verdictWord(dE00);
  const direction = side === '' || word === 'same' ? '' : `, ${side}`;
  return `Beside the old lot: ${verdictHead(word).toLowerCase()}${direction}.`;
}

function stayInWords(mixes: readonly { readonly stays: boolean }[]): string {
  const stay = mixes.filter(({ stays }) => stays).length;
  if (stay === 0) return '';
  if (stay === mixes.length) return 'No mix changes so much that it can be seen.';
  return `${count(stay, 'mix', 'mixes')} may stay as ${stay === 1 ? 'it is' : 'they are'}.`;
}
