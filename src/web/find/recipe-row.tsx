import { memo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import { verdictInShort } from '../../core/verdict/verdict.ts';
import { Button } from '../parts/button.tsx';
import { Pieces } from '../parts/pieces.tsx';
import { Tile } from '../parts/tile.tsx';

export interface RecipeRowProps {
  readonly recipe: FoundRecipe;
  readonly aim: Lab;
  readonly rough: boolean;
  readonly labOf: (name: string) => Lab | undefined;
  readonly onShow: (recipe: Recipe) => void;
  /** Why the recipe is listed, where closeness is not the reason. */
  readonly reason?: string | undefined;
  readonly price?: string | undefined;
}

/** A recipe beside the colour wanted: how close, how certain, and its clays. */
export const RecipeRow = memo(function RecipeRow(props: RecipeRowProps) {
  const { recipe, aim, rough, labOf, onShow, reason, price } = props;
  const [head, rest] = upper(verdictInShort(recipe.verdict)).split(', ');
  const more = [chanceInWords(recipe), price].filter(Boolean).join(', ');
  return (
    <li className="recipe">
      <div className="recipe-pair">
        <Tile lab={aim} name="Colour you want" />
        <Tile lab={recipe.shown} name="Mix" />
      </div>
      <div className="recipe-words">
        <span>
          {reason === undefined ? null : <span className="recipe-reason">{reason}: </span>}
          <strong>{head}</strong>
          {rest === undefined ? '' : `, ${rest}`}
          {rough ? ', roughly' : ''}
          <span className="soft small">
            {rest === undefined && !rough ? ',' : ';'} {more}
          </span>
        </span>
        <Pieces
          size="card"
          groups={recipe.parts.map(({ clay, parts }) => ({
            id: clay,
            name: clay,
            lab: labOf(clay),
            parts,
          }))}
        />
        {recipe.times === undefined ? null : (
          <span className="soft small">Cut it {recipe.times} times.</span>
        )}
      </div>
      <div className="actions">
        <Button
          aria-label={`Show ${recipeInWords(recipe.parts)}`}
          onPress={() => onShow(recipe.parts)}
        >
          Show
        </Button>
      </div>
    </li>
  );
});

/** "5 Kelp, 2 Limpet" */
export function recipeInWords(recipe: Recipe): string {
  return recipe.map(({ clay, parts }) => `${parts} ${clay}`).join(', ');
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function chanceInWords({ chance }: FoundRecipe): string {
  const inTen = Math.round(chance * 10);
  if (inTen >= 10) return 'almost certainly close enough';
  if (inTen === 0) return 'almost never close enough';
  return `close enough in about ${inTen} of 10 tries`;
}
