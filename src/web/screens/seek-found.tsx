import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, type VerdictWord } from '../../core/recipe/verdict.ts';
import { wordsOf } from '../book/change.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { Tile } from '../parts/tile.tsx';
import type { Found, Help, Share, Shortfall } from '../workers/messages.ts';
import type { SeekQuestion } from './seek-question.ts';
import type { Seeking } from './use-seek.ts';

const WORDS: Readonly<Record<VerdictWord, string>> = {
  same: 'The same',
  match: 'A match',
  close: 'Close',
  family: 'Of the same family',
  different: 'Different',
};

interface FoundProps {
  readonly seeking: Seeking;
  readonly aim: Lab;
  readonly nameOf: (parent: number) => string;
  readonly labOf: (parent: number) => Lab | undefined;
  readonly rough: boolean;
  readonly onTake: (parts: readonly Share[]) => void;
  readonly onWiden: (change: Partial<SeekQuestion>) => void;
  readonly question: SeekQuestion;
}

/** Recipes as they arrive, the nearest first; where none is near, why, and what would do. */
export function FoundRecipes(props: FoundProps) {
  const { seeking, nameOf, labOf, rough, onTake } = props;
  const { answer, fault, stopped, stop } = seeking;
  if (fault !== undefined) return <p className="field-no">{wordsOf(fault)}</p>;
  if (answer === undefined) return <JobProgress what="Looking for recipes" />;
  const { recipes, settled, done, shortfall } = answer;
  const shown = rough ? recipes.slice(0, 3) : recipes;
  return (
    <section className="stack" aria-label="Recipes found">
      {shortfall === undefined ? null : <Why {...props} shortfall={shortfall} best={recipes[0]} />}
      <h2>
        {rough
          ? 'Three rough recipes'
          : recipes.length === 0
            ? 'No recipe keeps to the rules'
            : 'Recipes'}
      </h2>
      {done || stopped ? (
        <p className="soft small" role="status">
          {stopped && !done
            ? 'Stopped; these were the nearest so far.'
            : `All ${answer.total.toLocaleString('en')} recipes are weighed; nothing nearer exists under these rules.`}
        </p>
      ) : (
        <JobProgress what="Looking for recipes" share={settled} onStop={stop} />
      )}
      <ol className="recipes">
        {shown.map((recipe) => {
          const key = recipe.parts.map((p) => `${p.parent}x${p.parts}`).join(' ');
          return (
            <li key={key} className="recipe">
              <div className="recipe-pair">
                <Tile lab={props.aim} name="Aim" />
                <Tile lab={recipe.lab} name="Mix" />
              </div>
              <div className="recipe-words">
                <span>
                  <strong>{WORDS[recipe.verdict.word]}</strong>
                  {rough ? ', roughly' : ''}
                  <span className="soft small"> {chanceInWords(recipe)}</span>
                </span>
                <PieceRow
                  size="small"
                  groups={recipe.parts.map(({ parent, parts }) => ({
                    id: String(parent),
                    name: nameOf(parent),
                    lab: labOf(parent),
                    parts,
                  }))}
                />
              </div>
              <div className="doings">
                <Button
                  aria-label={`Look at ${recipeInWords(recipe, nameOf)}`}
                  onPress={() => onTake(recipe.parts)}
                >
                  Look
                </Button>
              </div>
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function recipeInWords({ parts }: Found, nameOf: (parent: number) => string): string {
  return parts.map((p) => `${p.parts} ${nameOf(p.parent)}`).join(', ');
}

function chanceInWords({ chance }: Found): string {
  const inTen = Math.round(chance * 10);
  if (inTen >= 10) return 'as good as surely near enough';
  return inTen === 0 ? 'hardly ever near enough' : `near enough about ${inTen} times in 10`;
}

function Why({
  shortfall,
  best,
  aim,
  nameOf,
  onWiden,
  question,
}: FoundProps & { shortfall: Shortfall; best: Found | undefined }) {
  const { sides, helps, missing } = shortfall;
  const [first, second] = sides;
  return (
    <div className="stack why">
      <h2>{best === undefined ? 'Nothing keeps to these rules' : 'Not near enough yet'}</h2>
      {first === undefined ? null : (
        <p className="lead">
          The nearest is {sideInWords(first)} than the aim
          {second !== undefined && second.size > 0.8 ? `, and ${sideInWords(second)}` : ''}.
        </p>
      )}
      {missing === undefined ? null : (
        <div className="missing">
          <Tile lab={missing} name="A clay that would do it" />
          <p>
            No clay of yours is that colour: a {spokenColour(missing)} of about this strength would
            bring the aim within reach.
          </p>
        </div>
      )}
      {helps.map((help) => (
        <div key={help.kind} className="doings">
          <Button onPress={() => onWiden(changeOf(help, question))}>
            {HELPS[help.kind](help.value)}
          </Button>
          <span>
            {recipeInWords(help.found, nameOf)}: {WORDS[help.found.verdict.word].toLowerCase()}
          </span>
        </div>
      ))}
      {helps.length === 0 && missing === undefined ? (
        <p>
          More parts and more clays of what you own do not bring it nearer
          {aim === undefined ? '' : '; only another clay would'}.
        </p>
      ) : null}
    </div>
  );
}

const HELPS: Readonly<Record<Help['kind'], (value: number) => string>> = {
  'all-clays': () => 'Allow all clays',
  'more-parts': (n) => `Allow ${n} parts`,
  'more-parents': (n) => `Allow ${n} clays`,
};

function changeOf({ kind, value }: Help, question: SeekQuestion): Partial<SeekQuestion> {
  if (kind === 'all-clays') return { without: [] };
  return kind === 'more-parts'
    ? { parts: value }
    : { mostParents: Math.max(value, question.mostParents) };
}
