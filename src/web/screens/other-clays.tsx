import '../look/lump.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { sideInWords, sidesOf } from '../../core/verdict/verdict.ts';
import { chanceInWords, HARDLY, verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { make } from '../../domain/changes/steps.ts';
import { mixNode, partsOfBlocks, resolverFor } from '../../domain/mix-graph-of-book.ts';
import { BOOK_LIMITS } from '../../domain/records/limits.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Translated } from '../../verbs/translate.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { client } from '../book/client.ts';
import { titleOfMix } from '../book/names.ts';
import { showNotice } from '../book/notice.ts';
import { getMany } from '../book/queries.ts';
import { wantedOf } from '../book/saved-with-mix.ts';
import { useVerb } from '../book/use-verb.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Pieces } from '../parts/pieces.tsx';
import { Tick } from '../parts/tick.tsx';
import { Tile } from '../parts/tile.tsx';
import { count } from './count.ts';
import { groupsOfHand, recipeOfHand } from './lump/hand-of-mix.ts';

/** How do I mix the same with other clays? One mix, or the newest of the book. */
export function OtherClays() {
  return (
    <StudioGate>{(clays, studio) => <Translations clays={clays} studio={studio} />}</StudioGate>
  );
}

/** Mixes that are looked at in one go; the newest come first. */
const MOST = 60;

/** The mixes to translate, each as a recipe of blocks or with the reason why there is none. */
function useMixesToTranslate(clays: OpenClays, studio: Studio, id: string | undefined) {
  const { basis } = clays.worker;
  const { data } = useQuery({
    queryKey: ['mixes', 'for other clays', id ?? 'all', basis],
    queryFn: async () => {
      const mixes =
        id === undefined
          ? ofKind(
              (
                await client.call('listRecords', {
                  query: { kind: 'mix', sort: 'changed', descending: 'true', limit: MOST },
                })
              ).body.records,
              'mix',
            )
          : [...(await getMany([id])).values()].filter(
              (one): one is RecordOf<'mix'> => one.kind === 'mix',
            );
      const { resolver } = await resolverFor(
        getMany,
        mixes.flatMap(({ body }) => body.parts.map(({ of }) => of.id)),
      );
      return mixes.map((mix) => ({ mix, found: resolver.resolve(mixNode(mix.body), basis) }));
    },
  });
  return useMemo(
    () =>
      data?.map(({ mix, found }) => {
        const title = titleOfMix(mix);
        if (found.status !== 'resolved') return { mix, asked: { words: title, why: found.says } };
        const hand = partsOfBlocks(found);
        const recipe = recipeOfHand(hand, studio);
        return hand.every(({ blockId }) => studio.byBlock.has(blockId)) && recipe !== undefined
          ? { mix, asked: { words: title, recipe: recipe.recipe, basis } }
          : {
              mix,
              asked: { words: title, why: 'Nothing is known of the colour of one of its clays.' },
            };
      }),
    [data, studio, basis],
  );
}

function Translations({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { mix: id } = useSearch({ strict: false });
  const [lines, setLines] = useState<readonly string[]>([]);
  const [without, setWithout] = useState<readonly string[]>([]);
  const mixes = useMixesToTranslate(clays, studio, id);
  const asks = lines.length > 0 || without.length > 0;
  const question = useMemo(() => {
    if (mixes === undefined || mixes.length === 0 || !asks) return undefined;
    return {
      wanted: mixes.map(({ asked }) => asked),
      stock: studio.stock,
      rules: {
        ...(lines.length === 0
          ? {}
          : {
              lines: studio.lines.filter((line) => lines.includes(line.id)).map(({ name }) => name),
            }),
        ...(without.length === 0
          ? {}
          : { without: without.flatMap((blockId) => studio.byBlock.get(blockId)?.name ?? []) }),
      },
    };
  }, [mixes, asks, lines, without, studio]);
  const heard = useVerb(clays, studio, 'translate', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const done = heard.latest?.done === true && !heard.old;
  if (mixes === undefined) return <JobProgress what="Loading your mixes" />;
  if (mixes.length === 0) {
    return (
      <EmptyState whole title="No mix yet" actions={<Link to="/find">Find a recipe</Link>}>
        Save a mix first. Then its recipe can be worked out for other clays.
      </EmptyState>
    );
  }
  const [only] = mixes;
  return (
    <div className="screen others">
      <header className="mend-head">
        <h1>The same with other clays</h1>
        {id === undefined ? (
          <span className="soft small">
            {mixes.length === MOST
              ? `your ${MOST} newest mixes`
              : count(mixes.length, 'mix', 'mixes')}
          </span>
        ) : (
          <Link to="/book/$id" params={{ id }}>
            {titleOfMix(only.mix)}
          </Link>
        )}
      </header>
      <div className="others-ask">
        <fieldset className="others-lines">
          <legend className="field-label">Clays of these lines only</legend>
          {studio.lines.map((line) => (
            <Tick
              key={line.id}
              isSelected={lines.includes(line.id)}
              onChange={(on) =>
                setLines(on ? [...lines, line.id] : lines.filter((one) => one !== line.id))
              }
            >
              {line.name}
            </Tick>
          ))}
        </fieldset>
        <div className="actions">
          <ClayAdder
            label="Without a clay"
            among={(blockId) => studio.byBlock.has(blockId) && !without.includes(blockId)}
            onChoose={(blockId) => setWithout([...without, blockId])}
          />
          {without.map((blockId) => (
            <Button
              key={blockId}
              kind="quiet"
              onPress={() => setWithout(without.filter((one) => one !== blockId))}
            >
              Without {studio.byBlock.get(blockId)?.name}: undo
            </Button>
          ))}
        </div>
      </div>
      {asks ? null : (
        <p className="lead">
          Tick the lines to use, or leave out a clay that ran out. Each recipe is then worked out
          again.
        </p>
      )}
      {heard.fault === undefined || question === undefined ? null : (
        <p className="warning lead">{wordsOf(heard.fault)}</p>
      )}
      {question === undefined || done || heard.fault !== undefined ? null : (
        <JobProgress
          what={`Working out recipes: ${answer?.translated.length ?? 0} of ${mixes.length}`}
          share={(answer?.translated.length ?? 0) / mixes.length}
          onStop={heard.stop}
        />
      )}
      {answer === undefined ? null : (
        <ul className="others-list" aria-label="Recipes with other clays">
          {answer.translated.map((one, i) => (
            <li key={mixes[i].mix.id}>
              <One clays={clays} studio={studio} mix={mixes[i].mix} translated={one} />
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

function One({
  clays,
  studio,
  mix,
  translated: { found, why },
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly mix: RecordOf<'mix'>;
  readonly translated: Translated;
}) {
  const navigate = useNavigate();
  const title = titleOfMix(mix);
  if (found === undefined) {
    return (
      <div className="others-none">
        <Link to="/book/$id" params={{ id: mix.id }}>
          <b>{title}</b>
        </Link>
        <p className="warning small">{why}</p>
      </div>
    );
  }
  const hand = handOfRecipe(found.recipe, studio);
  const save = async () => {
    try {
      const [made] = await sendChange(`Saved ${title} with other clays`, [
        make('mix', {
          name: `${title}, other clays`.slice(0, BOOK_LIMITS.name),
          parts: hand.map(({ blockId, parts }) => ({
            of: { kind: 'block' as const, id: blockId },
            parts,
          })),
          basis: clays.worker.basis,
          status: 'idea',
          cameFromId: mix.id,
          ...(mix.body.tags === undefined ? {} : { tags: mix.body.tags }),
          wanted: wantedOf({ lab: found.wantedShown }),
        }),
      ]);
      if (made !== undefined) await navigate({ to: '/book/$id', params: { id: made.id } });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <div className="others-one">
      <span className="others-colours touching">
        <Tile lab={found.wantedShown} name={title} />
        <Tile lab={found.shown} name="With other clays" />
      </span>
      <div className="stack">
        <p>
          <Link to="/book/$id" params={{ id: mix.id }}>
            <b>{title}</b>
          </Link>
        </p>
        <Pieces size="card" groups={groupsOfHand(hand, clays, studio)} />
        <p className="small">
          {verdictHead(found.verdict.word)}
          {found.chance < HARDLY ? '' : `, ${chanceInWords(found.chance)}`}. {hintByEye(found)}
        </p>
        <div className="actions">
          <Button
            kind="quiet"
            aria-label={`Save this recipe: ${title} with other clays`}
            onPress={() => void save()}
          >
            Save this recipe
          </Button>
        </div>
      </div>
    </div>
  );
}

/** What the eye should look for when the new recipe is mixed, and what to do then. */
function hintByEye({ wantedShown, shown }: NonNullable<Translated['found']>): string {
  const [side] = sidesOf(wantedShown, shown);
  if (side === undefined || side.size < 0.8) return '';
  return `Expect it ${sideInWords(side)}.`;
}
