import type { Lab } from '../../core/colour/triples.ts';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import type { GapReport } from '../../core/find/gap-report.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import { type Side, sideInWords, verdictInShort, verdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Tile } from '../parts/tile.tsx';
import { type FindRequest, withChange } from './find-request.ts';
import { listed } from './find-request-in-words.ts';
import { recipeInWords } from './recipe-row.tsx';
import { insteadInWords, relaxationInWords, relaxed } from './relaxations.ts';
import type { Studio } from './studio.ts';

/** More would make it harder to choose. */
const MOST_HELPS = 4;
/** The smallest difference the eye sees, dE00. */
const SEEN = 0.8;

interface Candidate {
  readonly key: string;
  readonly title: string;
  readonly lab: Lab;
  readonly word: string;
  readonly recipe: Recipe;
  readonly change?: FindRequest;
}

/**
 * Why no recipe is close: the colour wanted above, the closest mix and what would help below it, each
 * touching it. Then the kind of clay that is missing.
 */
export function ShortfallPicture({
  gapReport,
  best,
  request,
  studio,
  looking,
  onChange,
}: {
  readonly gapReport: GapReport;
  readonly best: FoundRecipe | undefined;
  readonly request: FindRequest;
  readonly studio: Studio;
  /** The search still runs. */
  readonly looking: boolean;
  readonly onChange: (request: FindRequest) => void;
}) {
  const { sides, helps, insteads, missing } = gapReport;
  const { aim, tolerance } = request;
  if (aim === undefined) return null;
  const candidates: Candidate[] = [
    ...(best === undefined
      ? []
      : [
          {
            key: 'best',
            title: 'Closest now',
            lab: best.shown,
            word: upper(verdictInShort(best.verdict)),
            recipe: best.parts,
          },
        ]),
    ...helps.slice(0, MOST_HELPS).map((help) => ({
      key: `${help.kind} ${help.of ?? ''}`,
      title: relaxationInWords(help),
      lab: help.shown,
      word: `${verdictHead(verdictWord(help.dE00))}${help.dE00 <= tolerance ? '' : ', not close enough'}`,
      recipe: help.recipe,
      change: relaxed(request, help, studio),
    })),
    ...insteads.map((instead) => ({
      key: instead.relax,
      title: insteadInWords(instead),
      lab: instead.shown,
      word: upper(saidOf(instead.sides)),
      recipe: instead.recipe,
      change: withChange(request, { relax: instead.relax }),
    })),
  ];
  return (
    <section className="stack why" aria-label="Why, and what would help">
      <h2>{best === undefined ? 'No recipe fits these rules' : 'No close recipe'}</h2>
      {best === undefined ? null : (
        <p className="lead">The closest mix is {saidOf(sides)} than the colour you want.</p>
      )}
      {candidates.length === 0 ? null : (
        <ul className="short bench">
          {candidates.map(({ key, title, lab, word, recipe, change }) => (
            <li key={key}>
              <div className="short-tiles">
                <Tile lab={aim.lab} name="Colour you want" />
                <Tile lab={lab} name={title} />
              </div>
              <div className="short-words">
                <span className="sample-name">{title}</span>
                <span className="small">{word}</span>
                <span className="small">{recipeInWords(recipe)}</span>
                {change === undefined ? null : (
                  <Button aria-label={`Try this: ${title}`} onPress={() => onChange(change)}>
                    Try this
                  </Button>
                )}
              </div>
            </li>
          ))}
        </ul>
      )}
      {missing === undefined ? null : (
        <div className="missing">
          <Tile lab={missing.shown} name="A clay that would help" />
          <p>
            Missing clay: {article(spokenColour(missing.shown))} would make it possible; you have no
            clay like that.
          </p>
        </div>
      )}
      {helps.length === 0 && missing === undefined && !looking ? (
        <p>
          {best === undefined
            ? 'Removing any one rule is not enough. Check the rules together.'
            : `No change of the rules brings it closer; ${wantedClay(sides[0])} would.`}
        </p>
      ) : null}
    </section>
  );
}

/** "far duller and a little darker" */
function saidOf(sides: readonly Side[]): string {
  const seen = sides.filter(({ size }) => size >= SEEN);
  const words = (seen.length > 0 ? seen : sides.slice(0, 1)).map(sideInWords);
  return words.length === 0 ? 'slightly different' : listed(words);
}

const MISSING_CLAY: Readonly<Record<string, string>> = {
  duller: 'a brighter clay of that hue',
  brighter: 'a duller clay of that hue, or a grey,',
  redder: 'a greener clay',
  greener: 'a redder clay',
  yellower: 'a bluer clay',
  bluer: 'a yellower clay',
  darker: 'a lighter clay or a cleaner white',
  lighter: 'a darker or stronger clay',
};

function wantedClay(side: Side | undefined): string {
  return MISSING_CLAY[side?.word ?? ''] ?? 'another clay';
}

function article(words: string): string {
  return `${/^[aeiou]/i.test(words) ? 'an' : 'a'} ${words}`;
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
