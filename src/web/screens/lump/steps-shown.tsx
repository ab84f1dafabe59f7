import '../../parts/stack.css';
import { EVEN } from '../../../core/ladder/ladder.ts';
import type { LadderAnswer, LadderStep } from '../../../verbs/ladder.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { showNotice } from '../../book/notice.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { countInWords, type PieceGroup, recipeInWords } from '../../parts/piece-group.ts';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import {
  countsInWords,
  type EndNames,
  groupsOfStep,
  isEnd,
  stepKey,
  stepsAsMixes,
} from './ladder-steps.ts';
import { SheetToCut } from './sheet-to-cut.tsx';

/** The steps as one strip, their pieces, what to bake, and a sheet that fades. */
export function StepsShown({
  clays,
  studio,
  answer,
  names,
  onParts,
  onPreMix,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly answer: LadderAnswer;
  readonly names: EndNames;
  readonly onParts: (parts: number) => void;
  readonly onPreMix: (preMix: boolean) => void;
}) {
  const { steps, ends, unevenness, equalParts, equalShown, evenWith, sheet } = answer;
  const { preMix, evenThrough } = answer;
  const made = steps.filter((step) => !isEnd(step)).length + (preMix === undefined ? 0 : 1);
  const preMixGroups =
    preMix === undefined ? [] : groupsOfStep({ pieces: preMix.pieces, ofPreMix: 0 }, answer, names);
  const groupsOf = (step: LadderStep) => groupsOfStep(step, answer, names);
  /** More clays than groups of pieces: they are named too. */
  const nested = steps.some((step) => step.parts.length > groupsOf(step).length);
  const inWords = (groups: readonly PieceGroup[]) =>
    recipeInWords(groups.map(({ name, parts }) => ({ clay: name, parts })));
  const save = async () => {
    const mixes = stepsAsMixes(answer, names, clays, studio);
    await sendChange(`Saved ${count(mixes.length, 'mix', 'mixes')} as steps`, mixes).catch(
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
                <span className="serif steps-count">{countsInWords(step)}</span>
              </li>
            ))}
          </ol>
        </div>
        {preMix === undefined ? null : (
          <div className="steps-row">
            <Label head="Pre-mix" note="made first" />
            <span className="pieces" data-size="card">
              <PieceBar groups={preMixGroups} />
            </span>
          </div>
        )}
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
          {preMix === undefined ? null : (
            <p>
              First make a pre-mix of {inWords(preMixGroups)}, at least{' '}
              {count(
                steps.reduce((sum, { ofPreMix }) => sum + ofPreMix, 0),
                'piece',
                'pieces',
              )}{' '}
              of it.
            </p>
          )}
          <div className="actions">
            {evenThrough === undefined ? null : (
              <Button onPress={() => onPreMix(true)}>Make them equal, with a pre-mix</Button>
            )}
            {evenWith === undefined ? null : (
              <Button onPress={() => onParts(evenWith)}>
                Make them equal, with up to {evenWith} pieces
              </Button>
            )}
            {preMix === undefined ? null : (
              <Button kind="quiet" onPress={() => onPreMix(false)}>
                Without a pre-mix
              </Button>
            )}
          </div>
          <div className="actions">
            <Button kind="main" isDisabled={made === 0} onPress={() => save()}>
              Save {count(made, 'mix', 'mixes')}
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
                  <span>{inWords(groupsOf(step))}</span>
                  {nested ? <span className="small soft">{recipeInWords(step.parts)}</span> : null}
                </span>
              </li>
            ))}
          </ol>
          <p className="small soft">{totalInWords(steps.flatMap(groupsOf))}</p>
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

/** "Equal pieces in all: 21 of Kelp, 17 of Limpet." */
function totalInWords(groups: readonly Pick<PieceGroup, 'name' | 'parts'>[]): string {
  const sums = new Map<string, number>();
  for (const { name, parts } of groups) sums.set(name, (sums.get(name) ?? 0) + parts);
  const said = [...sums].map(([name, n]) => `${countInWords(n)} of ${name}`);
  return `Equal pieces in all: ${said.join(', ')}.`;
}
