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
  cheapest: 'For less money',
  'other clays': 'Of other clays',
};

/** So many are looked at without being asked for. */
const FIRST_SHOWN = 5;
const ROUGH_SHOWN = 3;

interface FoundProps {
  readonly finding: Finding;
  readonly aim: Lab;
  readonly wanted: FindRequest;
  readonly studio: Studio;
  readonly rough: boolean;
  readonly labOf: (name: string) => Lab | undefined;
  readonly onLook: (recipe: Recipe) => void;
  readonly onChange: (wanted: FindRequest) => void;
  readonly onRules: () => void;
}

/** Recipes as they arrive, the nearest first; where none is near, why, and what would do. */
export const FoundRecipes = memo(function FoundRecipes(props: FoundProps) {
  const { finding, aim, wanted, studio, rough, labOf, onLook, onChange, onRules } = props;
  const [allShown, setAllShown] = useState(false);
  const { found: latest, fault, stopped, stop, old } = finding;
  const question = JSON.stringify({ ...wanted, aim });
  const steady = useStableOrder(latest?.found.recipes ?? [], question, sameRecipes);
  if (fault !== undefined) {
    return (
      <section className="stack" aria-label="Recipes found">
        <p className="field-no lead" role="alert">
          {wordsOf(fault)}
        </p>
        <div className="doings">
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
          wanted={wanted}
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
              ? `All ${total.toLocaleString('en')} recipes are weighed.`
              : `All ${total.toLocaleString('en')} recipes are weighed; nothing nearer exists under these rules.`}
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
            onLook={onLook}
            reason={reasons.get(recipeInWords(recipe.parts))}
            price={price(recipe)}
          />
        ))}
      </ol>
      {left <= 0 ? null : (
        <div className="doings">
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
                onLook={onLook}
                reason={REASONS[reason]}
                price={price(recipe)}
              />
            ))}
          </ul>
        </section>
      )}
      {rough || frontier.length < 2 ? null : (
        <Frontier frontier={frontier} price={price} onLook={onLook} />
      )}
      {done || searching || stopped ? null : (
        <JobProgress what="Checking what could help" onStop={stop} />
      )}
    </section>
  );
});

/** How near one comes with less of everything, as a table to weigh one against the other. */
function Frontier({
  frontier,
  price,
  onLook,
}: {
  readonly frontier: FindAnswer['frontier'];
  readonly price: (recipe: FoundRecipe) => string | undefined;
  readonly onLook: (recipe: Recipe) => void;
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
              <th scope="col">How near</th>
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
                  <Button kind="quiet" onPress={() => onLook(recipe.parts)}>
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
  const far = `Stopped with ${Math.floor(Math.min(99, 100 * settled))} % of all ${total.toLocaleString('en')} recipes weighed`;
  return recipes.length === 0
    ? `${far}; none was found by then.`
    : `${far}: these are the nearest so far, and a nearer one may exist.`;
}

function sameRecipes(one: readonly FoundRecipe[], other: readonly FoundRecipe[]): boolean {
  return one.length === other.length && one.every((recipe, i) => sameParts(recipe, other[i]));
}

function sameParts(one: FoundRecipe, other: FoundRecipe): boolean {
  return recipeInWords(one.parts) === recipeInWords(other.parts);
}

/** Of 100 g, as clay is about sold; undefined where a price is not known. */
function priceInWords(
  { priceMinorPerKg }: FoundRecipe,
  currency: string | undefined,
): string | undefined {
  if (priceMinorPerKg === undefined || currency === undefined) return undefined;
  const money = new Intl.NumberFormat(undefined, { style: 'currency', currency });
  const digits = money.resolvedOptions().maximumFractionDigits ?? 2;
  return `${money.format(priceMinorPerKg / 10 / 10 ** digits)} for 100 g`;
}
