import { memo, useMemo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FindResult, FoundReason, FoundRecipe } from '../../core/find/find-answer.ts';
import { leftOutInWords } from '../../core/find/left-out-in-words.ts';
import { ORDERS, type Order } from '../../core/find/recipe-order.ts';
import { chanceInWords, HARDLY, hopelessHead } from '../../core/verdict/verdict-in-words.ts';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { recipeInWords } from '../parts/piece-group.ts';
import { RecipeCard } from '../parts/recipe-card.tsx';
import { inThousands } from '../screens/count.ts';
import { moneyInWords } from '../screens/stock/money.ts';
import { type FindRequest, withChange } from './find-request.ts';
import { findRequestInWords } from './find-request-in-words.ts';
import { PreMixNote } from './pre-mix-note.tsx';
import { handOfRecipe, labOfClay } from './recipe-hand.ts';
import { recipeNotes } from './recipe-notes.ts';
import type { Studio } from './studio.ts';
import type { Finding } from './use-find.ts';
import type { Hand } from './use-hand.ts';
import { useStableOrder } from './use-stable-order.ts';

const REASONS: Readonly<Record<FoundReason, string>> = {
  'fewest clays': 'Fewer clays',
  'fewest parts': 'Fewer parts',
  cheapest: 'Cheaper',
  'other clays': 'Other clays',
  'one line': 'One line only',
};
const ORDER_WORDS: Readonly<Record<Order, string>> = {
  likely: 'Most likely',
  closest: 'Closest',
  fewest: 'Fewest clays',
  cheapest: 'Cheapest',
};

interface FoundProps {
  readonly clays: OpenClays;
  readonly finding: Finding;
  readonly aim: Lab;
  readonly request: FindRequest;
  readonly studio: Studio;
  /** The recipe on the bench. */
  readonly shownKey: string;
  readonly onShow: (hand: Hand) => void;
  readonly onChange: (request: FindRequest) => void;
  readonly onRules: () => void;
}

const NONE: readonly FoundRecipe[] = [];

/** All recipes found as cards, in the order asked for, then those of another family. */
export const FoundRecipes = memo(function FoundRecipes(props: FoundProps) {
  const { clays, finding, aim, request, studio, shownKey, onShow, onChange, onRules } = props;
  const { found: latest, fault, stopped, stop, old } = finding;
  const question = JSON.stringify({ ...request, aim });
  const steady = useStableOrder(latest?.found.recipes ?? NONE, question, sameRecipes);
  const found = latest?.found;
  const cards = useMemo(
    () =>
      steady.shown.map((recipe) => (
        <FoundCard
          key={keyOf(recipe)}
          recipe={recipe}
          {...{ clays, studio, aim, request, shownKey, onShow }}
        />
      )),
    [steady.shown, clays, studio, aim, request, shownKey, onShow],
  );
  if (fault !== undefined) {
    return (
      <section className="bench" aria-label="Recipes found">
        <p className="warning lead" role="alert">
          {wordsOf(fault)}
        </p>
        <div className="actions">
          <Button onPress={onRules}>Change rules</Button>
        </div>
      </section>
    );
  }
  const others = (found?.alternatives ?? []).filter(
    ({ recipe }) => !steady.shown.some((one) => keyOf(one) === keyOf(recipe)),
  );
  return (
    <section className="bench" aria-label="Recipes found" data-old={old || undefined}>
      <div className="found-head">
        <h2>Recipes</h2>
        <Choice<Order>
          label="Sort"
          value={request.order ?? ORDERS[0]}
          onChange={(order) => onChange(withChange(request, { order }))}
          options={ORDERS.filter(
            (order) => order !== 'cheapest' || studio.currency !== undefined,
          ).map((order) => [order, ORDER_WORDS[order]] as const)}
        />
        <div className="found-state small">
          <FoundState finding={finding} />
          {steady.waits ? (
            <Button kind="quiet" onPress={steady.catchUp}>
              Better recipes found: show them
            </Button>
          ) : null}
        </div>
      </div>
      <p className="found-rules small">
        {findRequestInWords(request, studio)}{' '}
        <Button kind="quiet" onPress={onRules}>
          Change rules
        </Button>
      </p>
      {latest === undefined ? null : (
        <ol className="recipes cards" {...steady.holders}>
          {cards}
        </ol>
      )}
      {others.length === 0 ? null : (
        <>
          <h3>Of another family</h3>
          <ul className="recipes cards">
            {others.map(({ reason, recipe }) => (
              <FoundCard
                key={keyOf(recipe)}
                {...{ clays, studio, aim, request, shownKey, onShow, recipe, reason }}
              />
            ))}
          </ul>
        </>
      )}
      {studio.colourless.length === 0 ? null : (
        <p className="small">{leftOutInWords(studio.colourless)}</p>
      )}
      {found?.preMix === undefined ? null : (
        <PreMixNote preMix={found.preMix} labOf={(name) => labOfClay(clays, studio, name)} />
      )}
      {latest === undefined || latest.done || latest.searching || stopped ? null : (
        <JobProgress what="Checking what could help" onStop={stop} />
      )}
    </section>
  );
});

/** One recipe found, as a card. */
function FoundCard({
  recipe,
  reason,
  clays,
  studio,
  aim,
  request,
  shownKey,
  onShow,
}: Pick<FoundProps, 'clays' | 'studio' | 'aim' | 'request' | 'shownKey' | 'onShow'> & {
  readonly recipe: FoundRecipe;
  /** Of a recipe of another family: why it is here. */
  readonly reason?: FoundReason;
}) {
  return (
    <li className="recipe">
      <RecipeCard
        aim={aim}
        lab={recipe.shown}
        covariance={recipe.covariance}
        groups={recipe.parts.map(({ clay, parts }) => ({
          id: clay,
          name: clay,
          lab: labOfClay(clays, studio, clay),
          parts,
        }))}
        head={headOf(recipe, request.tolerance)}
        reason={reason === undefined ? undefined : reasonInWords(reason, recipe, studio)}
        price={priceInWords(recipe, studio.currency)}
        notes={recipeNotes(handOfRecipe(recipe.parts, studio), studio, clays, request.batchG)}
        chosen={keyOf(recipe) === shownKey}
        onShow={() => onShow(handOfRecipe(recipe.parts, studio))}
      >
        {recipe.times === undefined ? null : (
          <span className="small">Cut it {recipe.times} times.</span>
        )}
      </RecipeCard>
    </li>
  );
}

/** How far the search is, or what it found out. */
function FoundState({ finding: { found: latest, stopped, stop } }: { readonly finding: Finding }) {
  if (latest === undefined) return <JobProgress what="Searching for recipes" />;
  const { found, searching, settled } = latest;
  if (!found.proven && (stopped || !searching)) return <p role="status">{stoppedInWords(found)}</p>;
  if (searching) return <JobProgress what="Searching for recipes" share={settled} onStop={stop} />;
  return <p role="status">All {inThousands(found.total)} recipes checked.</p>;
}

function stoppedInWords({ settled, total, recipes }: FindResult): string {
  const share = `Stopped: ${Math.floor(Math.min(99, 100 * settled))} % of all ${inThousands(total)} recipes checked`;
  return recipes.length === 0
    ? `${share}; none found so far.`
    : `${share}. These are the best so far; there may be better ones.`;
}

/** Its chance, or how it looks where no try succeeds. */
function headOf({ chance, verdict }: FoundRecipe, tolerance: number): string {
  return chance < HARDLY ? hopelessHead(verdict, tolerance) : chanceInWords(chance);
}

function keyOf({ parts }: FoundRecipe): string {
  return recipeInWords(parts);
}

function sameRecipes(one: readonly FoundRecipe[], other: readonly FoundRecipe[]): boolean {
  return one.length === other.length && one.every((recipe, i) => isSame(recipe, other[i]));
}

function isSame(one: FoundRecipe, other: FoundRecipe): boolean {
  return keyOf(one) === keyOf(other) && one.chance === other.chance && one.times === other.times;
}

function reasonInWords(reason: FoundReason, { parts }: FoundRecipe, studio: Studio): string {
  const line = studio.byName.get(parts[0].clay)?.line;
  return reason === 'one line' && line !== undefined ? `${line} only` : REASONS[reason];
}

/** Price per 100 g; undefined where a price is not known. */
function priceInWords(
  { priceMinorPerKg }: FoundRecipe,
  currency: string | undefined,
): string | undefined {
  if (priceMinorPerKg === undefined || currency === undefined) return undefined;
  return `${moneyInWords({ minor: priceMinorPerKg / 10, currency })} for 100 g`;
}
