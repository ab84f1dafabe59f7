import { memo, useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FindAnswer, FoundRecipe } from '../../core/find/find-answer.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import type { AlternativeReason } from '../../core/search/alternatives.ts';
import { verdictInShort } from '../../core/verdict/verdict.ts';
import { wordsOf } from '../book/change.ts';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Scrolled } from '../parts/scrolled.tsx';
import type { FindRequest } from './find-request.ts';
import { PreMixNote } from './pre-mix-note.tsx';
import { RecipeRow, recipeInWords } from './recipe-row.tsx';
import { ShortfallPicture } from './shortfall-picture.tsx';
import type { Studio } from './studio.ts';
import type { Finding } from './use-find.ts';
import { useStableOrder } from './use-stable-order.ts';

const REASONS: Readonly<Record<AlternativeReason, string>> = {
  'fewest clays': 'Fewer clays',
  'fewest parts': 'Fewer parts',
  cheapest: 'Cheaper',
  'other clays': 'Other clays',
};

/** Shown at first; the rest after a press. */
const FIRST_SHOWN = 5;
const ROUGH_SHOWN = 3;

interface FoundProps {
  readonly finding: Finding;
  readonly aim: Lab;
  readonly request: FindRequest;
  readonly studio: Studio;
  readonly rough: boolean;
  readonly labOf: (name: string) => Lab | undefined;
  readonly onShow: (recipe: Recipe) => void;
  readonly onChange: (request: FindRequest) => void;
  readonly onRules: () => void;
}

/** Recipes as they arrive, the closest first; if none is close, why, and what would help. */
export const FoundRecipes = memo(function FoundRecipes(props: FoundProps) {
  const { finding, aim, request, studio, rough, labOf, onShow, onChange, onRules } = props;
  const [allShown, setAllShown] = useState(false);
  const { found: latest, fault, stopped, stop, old } = finding;
  const question = JSON.stringify({ ...request, aim });
  const steady = useStableOrder(latest?.found.recipes ?? [], question, sameRecipes);
  if (fault !== undefined) {
    return (
      <section className="stack" aria-label="Recipes found">
        <p className="field-no lead" role="alert">
          {wordsOf(fault)}
        </p>
        <div className="actions">
          <Button kind="main" onPress={onRules}>
            Change rules
          </Button>
        </div>
      </section>
    );
  }
  if (latest === undefined) return <JobProgress what="Searching for recipes" />;
  const { found, searching, settled, done } = latest;
  const { gapReport, preMix, alternatives, frontier, total } = found;
  const shown = rough ? steady.shown.slice(0, ROUGH_SHOWN) : steady.shown;
  const inSight = allShown ? shown : shown.slice(0, FIRST_SHOWN);
  const left = shown.length - inSight.length;
  const reasons = new Map(
    alternatives.map(({ reason, recipe }) => [recipeInWords(recipe.parts), REASONS[reason]]),
  );
  const others = alternatives.filter(
    ({ recipe }) => !inSight.some((one) => sameParts(one, recipe)),
  );
  const price = (recipe: FoundRecipe) => priceInWords(recipe, studio.currency);
  return (
    <section className="stack" aria-label="Recipes found" data-old={old || undefined}>
      {gapReport === undefined ? null : (
        <ShortfallPicture
          gapReport={gapReport}
          best={found.recipes[0]}
          request={request}
          studio={studio}
          looking={!done && !stopped}
          onChange={onChange}
        />
      )}
      {shown.length === 0 && gapReport !== undefined ? null : (
        <h2>{rough ? 'Three rough recipes' : 'Recipes'}</h2>
      )}
      <div className="found-state">
        {!found.proven && (stopped || !searching) ? (
          <p className="soft small" role="status">
            {stoppedInWords(found)}
          </p>
        ) : searching ? (
          <JobProgress what="Searching for recipes" share={settled} onStop={stop} />
        ) : (
          <p className="soft small" role="status">
            {shown.length === 0
              ? `All ${total.toLocaleString('en')} recipes checked.`
              : `All ${total.toLocaleString('en')} recipes checked. No closer one exists under these rules.`}
          </p>
        )}
        {steady.waits ? (
          <Button kind="quiet" onPress={steady.catchUp}>
            Closer recipes found: show them
          </Button>
        ) : null}
      </div>
      <ol className="recipes bench" {...steady.holders}>
        {inSight.map((recipe) => (
          <RecipeRow
            key={recipeInWords(recipe.parts)}
            recipe={recipe}
            aim={aim}
            rough={rough}
            labOf={labOf}
            onShow={onShow}
            reason={reasons.get(recipeInWords(recipe.parts))}
            price={price(recipe)}
          />
        ))}
      </ol>
      {left <= 0 ? null : (
        <div className="actions">
          <Button kind="quiet" onPress={() => setAllShown(true)}>
            {left} more
          </Button>
        </div>
      )}
      {preMix === undefined ? null : <PreMixNote preMix={preMix} labOf={labOf} />}
      {rough || others.length === 0 ? null : (
        <section className="stack" aria-label="More options">
          <h3>More options</h3>
          <ul className="recipes bench">
            {others.map(({ reason, recipe }) => (
              <RecipeRow
                key={recipeInWords(recipe.parts)}
                recipe={recipe}
                aim={aim}
                rough={rough}
                labOf={labOf}
                onShow={onShow}
                reason={REASONS[reason]}
                price={price(recipe)}
              />
            ))}
          </ul>
        </section>
      )}
      {rough || frontier.length < 2 ? null : (
        <Frontier frontier={frontier} price={price} onShow={onShow} />
      )}
      {done || searching || stopped ? null : (
        <JobProgress what="Checking what could help" onStop={stop} />
      )}
    </section>
  );
});

/** How close simpler recipes come, as a table to compare. */
function Frontier({
  frontier,
  price,
  onShow,
}: {
  readonly frontier: FindAnswer['frontier'];
  readonly price: (recipe: FoundRecipe) => string | undefined;
  readonly onShow: (recipe: Recipe) => void;
}) {
  const priced = frontier.some((recipe) => price(recipe) !== undefined);
  return (
    <details>
      <summary>Simpler recipes and how close they come</summary>
      <Scrolled label="Simpler recipes and how close they come">
        <table className="figures frontier">
          <thead>
            <tr>
              <th scope="col">Clays</th>
              <th scope="col">Parts</th>
              <th scope="col">How close</th>
              {priced ? <th scope="col">Price</th> : null}
              <th scope="col">Recipe</th>
            </tr>
          </thead>
          <tbody>
            {frontier.map((recipe) => (
              <tr key={recipeInWords(recipe.parts)}>
                <td>{recipe.parts.length}</td>
                <td>{recipe.parts.reduce((sum, { parts }) => sum + parts, 0)}</td>
                <td>{verdictInShort(recipe.verdict)}</td>
                {priced ? <td>{price(recipe)}</td> : null}
                <td>
                  <Button kind="quiet" onPress={() => onShow(recipe.parts)}>
                    {recipeInWords(recipe.parts)}
                  </Button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Scrolled>
    </details>
  );
}

function stoppedInWords({ settled, total, recipes }: FindAnswer): string {
  const share = `Stopped: ${Math.floor(Math.min(99, 100 * settled))} % of all ${total.toLocaleString('en')} recipes checked`;
  return recipes.length === 0
    ? `${share}; none found so far.`
    : `${share}. These are the closest so far; there may be closer ones.`;
}

function sameRecipes(one: readonly FoundRecipe[], other: readonly FoundRecipe[]): boolean {
  return one.length === other.length && one.every((recipe, i) => sameParts(recipe, other[i]));
}

function sameParts(one: FoundRecipe, other: FoundRecipe): boolean {
  return recipeInWords(one.parts) === recipeInWords(other.parts);
}

/** Price per 100 g; undefined where a price is not known. */
function priceInWords(
  { priceMinorPerKg }: FoundRecipe,
  currency: string | undefined,
): string | undefined {
  if (priceMinorPerKg === undefined || currency === undefined) return undefined;
  const money = new Intl.NumberFormat(undefined, { style: 'currency', currency });
  const digits = money.resolvedOptions().maximumFractionDigits ?? 2;
  return `${money.format(priceMinorPerKg / 10 / 10 ** digits)} for 100 g`;
}
