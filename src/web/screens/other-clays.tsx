import '../look/lump.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { sideInWords, sidesOf } from '../../core/verdict/verdict.ts';
import { chanceInWords, HARDLY, verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { make } from '../../domain/changes/steps.ts';
import { BOOK_LIMITS } from '../../domain/records/limits.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Translated } from '../../verbs/translate.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { titleOfMix } from '../book/names.ts';
import { showNotice } from '../book/notice.ts';
import { useAll } from '../book/queries.ts';
import { wantedOf } from '../book/saved-with-mix.ts';
import { useVerb } from '../book/use-verb.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Pieces } from '../parts/pieces.tsx';
import { Tile } from '../parts/tile.tsx';
import { count } from './count.ts';
import { groupsOfHand } from './lump/hand-of-mix.ts';
import { MOST_MIXES, useMixesInClays } from './lump/mixes-in-clays.ts';
import { OTHER_RULES, OtherRules, type Rules, rulesInNames } from './lump/other-rules.tsx';

/** Stands for the newest mixes where palettes may be chosen; no id is like it. */
const ALL_MIXES = '';

/** How do I mix the same with other clays? One mix, or the newest of the book. */
export function OtherClays() {
  return (
    <StudioGate>{(clays, studio) => <Translations clays={clays} studio={studio} />}</StudioGate>
  );
}

function Translations({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const address = useSearch({ strict: false });
  const navigate = useNavigate();
  const { mix: id } = address;
  const palettes = useAll('palette');
  const palette = palettes.records.find((one) => one.id === address.palette);
  const [rules, setRules] = useState<Rules>(() => rulesOfAddress(address, studio));
  const which = useMemo(() => {
    if (id !== undefined) return { those: [id] };
    return palette === undefined
      ? { newest: true as const }
      : { those: palette.body.aims.flatMap(({ mixId }) => mixId ?? []) };
  }, [id, palette]);
  const known = useMixesInClays(clays, studio, which);
  const mixes = useMemo(() => toTranslate(known, palette), [known, palette]);
  const inNames = useMemo(() => rulesInNames(rules, studio), [rules, studio]);
  const asks = inNames !== undefined;
  const question = useMemo(() => {
    if (mixes === undefined || mixes.length === 0 || inNames === undefined) return undefined;
    return { wanted: mixes.map(({ asked }) => asked), stock: studio.stock, rules: inNames };
  }, [mixes, inNames, studio]);
  const heard = useVerb(clays, studio, 'translate', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const done = heard.latest?.done === true && !heard.old;
  if (mixes === undefined || palettes.isPending) return <JobProgress what="Loading your mixes" />;
  if (mixes.length === 0 && palettes.total === 0) {
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
            {palette !== undefined
              ? count(mixes.length, 'colour')
              : mixes.length === MOST_MIXES
                ? `your ${MOST_MIXES} newest mixes`
                : count(mixes.length, 'mix', 'mixes')}
          </span>
        ) : (
          <Link to="/book/$id" params={{ id }}>
            {only?.title}
          </Link>
        )}
      </header>
      {id !== undefined || palettes.total === 0 ? null : (
        <div className="others-ask">
          <Pick
            label="Which colours?"
            value={palette?.id ?? ALL_MIXES}
            onChange={(next) =>
              void navigate({
                to: '/other-clays',
                search: next === ALL_MIXES ? {} : { palette: next },
                replace: true,
              })
            }
            options={[
              [ALL_MIXES, 'Your newest mixes'],
              ...palettes.records.map(({ id: one, body }) => [one, body.name] as const),
            ]}
          />
        </div>
      )}
      <OtherRules rules={rules} studio={studio} onRules={setRules} />
      {asks ? null : (
        <p className="lead">
          Tick the lines to use, leave out a clay that ran out, or say how much of a line there must
          be. Each recipe is then worked out again.
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
            <li key={mixes[i].key}>
              <One clays={clays} studio={studio} of={mixes[i]} translated={one} />
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** A mix, or a colour of a palette that has no mix yet. */
interface ToTranslate {
  readonly key: string;
  readonly title: string;
  readonly mix: RecordOf<'mix'> | undefined;
  readonly asked: NonNullable<ReturnType<typeof useMixesInClays>>[number]['asked'];
}

/** The mixes, or the colours of a palette with the mixes they have. */
function toTranslate(
  mixes: ReturnType<typeof useMixesInClays>,
  palette: RecordOf<'palette'> | undefined,
): readonly ToTranslate[] | undefined {
  const known = mixes?.map((one) => ({ ...one, key: one.mix.id, title: titleOfMix(one.mix) }));
  if (palette === undefined || known === undefined) return known;
  return palette.body.aims.map(({ id: key, name, lab, mixId }) => {
    const own = known.find(({ mix }) => mix.id === mixId);
    const title = name ?? own?.title ?? spokenColour(lab);
    const asked = own?.asked ?? { words: title, why: 'This colour has no recipe yet.', aim: lab };
    return { key, title, mix: own?.mix, asked };
  });
}

/** What the screen that led here asks at first. */
function rulesOfAddress(
  {
    without,
    least,
    share,
    less,
  }: {
    readonly without?: string;
    readonly least?: string;
    readonly share?: string;
    readonly less?: string;
  },
  studio: Studio,
): Rules {
  const asked = Number(share);
  return {
    ...OTHER_RULES,
    ...(without !== undefined && studio.byBlock.has(without) ? { without: [without] } : {}),
    ...(studio.lines.some(({ id }) => id === least) ? { least } : {}),
    ...(asked > 0 && asked <= 1 ? { share: asked } : {}),
    translucent: less === 'translucent',
  };
}

function One({
  clays,
  studio,
  of: { mix, title },
  translated: { found, why },
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly of: ToTranslate;
  readonly translated: Translated;
}) {
  const navigate = useNavigate();
  const name =
    mix === undefined ? (
      <b>{title}</b>
    ) : (
      <Link to="/book/$id" params={{ id: mix.id }}>
        <b>{title}</b>
      </Link>
    );
  if (found === undefined) {
    return (
      <div className="others-none">
        {name}
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
          ...(mix === undefined ? {} : { cameFromId: mix.id }),
          ...(mix?.body.tags === undefined ? {} : { tags: mix.body.tags }),
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
        <p>{name}</p>
        <Pieces size="card" groups={groupsOfHand(hand, clays, studio)} />
        <p className="small">
          {verdictHead(found.verdict.word)}
          {found.chance < HARDLY ? '' : `, ${chanceInWords(found.chance)}`}. {hintByEye(found)}
        </p>
        <div className="actions">
          <Button
            kind="quiet"
            aria-label={`Save this recipe: ${title} with other clays`}
            onPress={() => save()}
          >
            Save this recipe
          </Button>
        </div>
      </div>
    </div>
  );
}

/** What the eye should look for when the new recipe is mixed, and what to do then. */
function hintByEye({ wantedShown, shown, hint }: NonNullable<Translated['found']>): string {
  const [side] = sidesOf(wantedShown, shown);
  const seen = side === undefined || side.size < 0.8 ? '' : `Expect it ${sideInWords(side)}. `;
  return hint === undefined
    ? seen
    : `${seen}If it looks ${hint.looks}, knead in a crumb of ${hint.add}.`;
}
