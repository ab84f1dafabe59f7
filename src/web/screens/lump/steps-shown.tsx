import '../../parts/stack.css';
import { EVEN } from '../../../core/ladder/ladder.ts';
import { make } from '../../../domain/changes/steps.ts';
import { BOOK_LIMITS } from '../../../domain/records/limits.ts';
import type { LadderAnswer, LadderStep } from '../../../verbs/ladder.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { showNotice } from '../../book/notice.ts';
import { predictedOf } from '../../book/saved-with-mix.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { countInWords, recipeInWords } from '../../parts/piece-group.ts';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { SheetToCut } from './sheet-to-cut.tsx';

/** The steps as one strip, their pieces, what to bake, and a sheet that fades. */
export function StepsShown({
  clays,
  studio,
  answer,
  names,
  onParts,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly answer: LadderAnswer;
  readonly names: readonly [string, string];
  readonly onParts: (parts: number) => void;
}) {
  const { steps, ends, unevenness, equalParts, equalShown, evenWith, sheet } = answer;
  /** The mixes: the ends themselves are in the book already. */
  const inner = steps.filter(({ pieces }) => !pieces.includes(0));
  /** An end is a mix: its clays are named too. */
  const nested = steps.some(
    ({ pieces, parts }) => parts.length > pieces.filter((n) => n > 0).length,
  );
  const groupsOf = ({ pieces }: LadderStep) =>
    pieces.flatMap((parts, i) =>
      parts === 0 ? [] : [{ id: String(i), name: names[i] ?? '', lab: ends[i], parts }],
    );
  const inWords = (step: LadderStep) =>
    recipeInWords(groupsOf(step).map(({ name, parts }) => ({ clay: name, parts })));
  const save = async () => {
    const made = inner.map((step, i) =>
      make('mix', {
        name: `${names[0]} to ${names[1]} ${i + 2}`.slice(0, BOOK_LIMITS.name),
        parts: handOfRecipe(step.parts, studio).map(({ blockId, parts }) => ({
          of: { kind: 'block' as const, id: blockId },
          parts,
        })),
        basis: clays.worker.basis,
        status: 'idea' as const,
        tags: ['steps'],
        predicted: predictedOf({ lab: step.shown, plusMinus: step.plusMinus }, clays.modelId),
      }),
    );
    await sendChange(`Saved ${count(made.length, 'mix', 'mixes')} as steps`, made).catch(
      (fault: unknown) => showNotice({ text: wordsOf(fault) }),
    );
  };
  const grid = { gridTemplateColumns: `repeat(${steps.length}, minmax(0, 1fr))` };
  return (
    <>
      <section className="bench across steps-bench" aria-label="Steps">
        <div className="steps-row">
          <Label
            head={equalShown === undefined ? names[0] : 'Even'}
            note={equalShown === undefined ? `with ${names[1]}` : 'to the eye'}
          />
          <div className="steps-strip touching" style={grid}>
            {steps.map((step, i) => (
              <Tile key={stepKey(step)} lab={step.shown} name={`Step ${i + 1}`} />
            ))}
          </div>
        </div>
        <div className="steps-row">
          <Label head="Pieces" note={`of ${names[0]} and ${names[1]}`} />
          <ol className="steps-pieces" style={grid}>
            {steps.map((step) => (
              <li key={stepKey(step)}>
                <span className="pieces" data-size="card">
                  <PieceBar groups={groupsOf(step)} />
                </span>
                <span className="serif steps-count">
                  {step.pieces.includes(0)
                    ? countInWords(1)
                    : `${step.pieces[0]} + ${step.pieces[1]}`}
                </span>
              </li>
            ))}
          </ol>
        </div>
        {equalShown === undefined ? null : (
          <div className="steps-row">
            <Label head="Counted evenly" note="for comparison" />
            <div className="steps-strip touching" data-low style={grid}>
              {equalShown.map((lab, i) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: places along one strip
                <Tile key={i} lab={lab} name={`Counted evenly, step ${i + 1}`} />
              ))}
            </div>
          </div>
        )}
      </section>
      <div className="mend-columns">
        <section className="stack" aria-label="How even">
          {equalParts === undefined ? (
            <h2>
              {names[0]} with more and more {names[1]}
            </h2>
          ) : (
            <>
              <h2>{unevenness <= EVEN ? 'Every step looks equal' : 'The steps are not equal'}</h2>
              <p>
                The largest step is {unevenness.toFixed(1)} times the mean. Counted evenly, it would
                be {equalParts.toFixed(1)}.
              </p>
            </>
          )}
          {evenWith === undefined ? null : (
            <div className="actions">
              <Button onPress={() => onParts(evenWith)}>
                Make them equal, with up to {evenWith} pieces
              </Button>
            </div>
          )}
          <div className="actions">
            <Button kind="main" isDisabled={inner.length === 0} onPress={() => void save()}>
              Save {count(inner.length, 'mix', 'mixes')}
            </Button>
            <Button onPress={() => window.print()}>Print the strip</Button>
          </div>
        </section>
        <Part title="To bake">
          <ol className="steps-list">
            {steps.map((step, i) => (
              <li key={stepKey(step)} className="touching">
                <Tile lab={step.shown} name={`Step ${i + 1}`} />
                <span>
                  <b>Step {i + 1}</b>
                  <span>{inWords(step)}</span>
                  {nested ? <span className="small soft">{recipeInWords(step.parts)}</span> : null}
                </span>
              </li>
            ))}
          </ol>
          <p className="small soft">{totalInWords(steps)}</p>
        </Part>
        <Part title="A sheet that fades evenly">
          <SheetToCut sheet={sheet} names={names} ends={ends} />
        </Part>
      </div>
    </>
  );
}

function Label({ head, note }: { readonly head: string; readonly note: string }) {
  return (
    <div className="layer-name">
      <strong>{head}</strong>
      <span className="small">{note}</span>
    </div>
  );
}

function stepKey({ pieces }: LadderStep): string {
  return pieces.join(':');
}

/** "In all: 21 pieces of Kelp, 17 of Limpet" */
function totalInWords(steps: readonly LadderStep[]): string {
  const sums = new Map<string, number>();
  for (const { parts } of steps) {
    for (const { clay, parts: n } of parts) sums.set(clay, (sums.get(clay) ?? 0) + n);
  }
  const said = [...sums].map(([clay, n]) => `${countInWords(n)} of ${clay}`);
  return `Pieces in all, cut alike: ${said.join(', ')}.`;
}
