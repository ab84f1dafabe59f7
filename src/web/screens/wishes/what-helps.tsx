import { useMemo, useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { inARow } from '../../../core/in-a-row.ts';
import { make } from '../../../domain/changes/steps.ts';
import { BOOK_LIMITS } from '../../../domain/records/limits.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import type { WidenAnswer } from '../../../verbs/widen.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useAll } from '../../book/queries.ts';
import { useVerb } from '../../book/use-verb.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Pick } from '../../parts/field.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { Tile, Unshown } from '../../parts/tile.tsx';
import { moreInWords, widensInWords } from './widens-in-words.ts';

const ALL = 'all';
const NONE = '';

/** The few colours that would widen a line, or all clays, most: nobody's yet, or a block of another line. */
export function WhatHelps({
  clays,
  studio,
  wishes,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly wishes: readonly RecordOf<'wish'>[];
}) {
  const palettes = useAll('palette').records.filter(({ body }) => body.aims.length > 0);
  const [line, setLine] = useState(ALL);
  const [wanted, setWanted] = useState(NONE);
  const palette = palettes.find(({ id }) => id === wanted);
  const lineName = studio.lines.find(({ id }) => id === line)?.name;
  const question = useMemo(
    () => ({
      stock: [...studio.stock],
      ...(lineName === undefined ? {} : { lines: [lineName] }),
      ...(palette === undefined
        ? {}
        : {
            aims: palette.body.aims.map(({ lab }) => [...lab] as [number, number, number]),
            called: palette.body.aims.map(({ name, lab }) => name ?? lab.join(',')),
          }),
    }),
    [studio.stock, lineName, palette],
  );
  const heard = useVerb(clays, studio, 'widen', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const isDone = heard.latest?.done === true && !heard.old;
  const whose = lineName ?? 'your clays';
  const wish = (name: string, more: Pick<Helping, 'lab' | 'widens' | 'gives' | 'blockId'>) => {
    const body: BodyOf<'wish'> = {
      name: name.slice(0, BOOK_LIMITS.name),
      lab: more.lab,
      why: reasonInWords(more, whose).slice(0, BOOK_LIMITS.name),
      ...(lineName === undefined ? {} : { lineId: line }),
      ...(more.blockId === undefined ? {} : { blockId: more.blockId }),
    };
    return sendChange(`Added ${name} to the wish list`.slice(0, 300), [make('wish', body)]);
  };
  const isWished = (lab: Lab) =>
    wishes.some(({ body }) => body.lab.every((value, axis) => Math.abs(value - lab[axis]) < 0.01));
  return (
    <>
      <h2 className="wishes-title">What would help most</h2>
      <div className="piles-ask">
        <Pick
          label="Widen"
          value={line}
          onChange={setLine}
          options={[
            [ALL, 'All your clays'],
            ...studio.lines.map(({ id, name }) => [id, name] as const),
          ]}
        />
        {palettes.length === 0 ? null : (
          <Pick
            label="Colours you want"
            value={wanted}
            onChange={setWanted}
            options={[
              [NONE, 'As many as can be'],
              ...palettes.map(({ id, body }) => [id, body.name] as const),
            ]}
          />
        )}
      </div>
      {heard.fault === undefined ? null : <p className="warning lead">{wordsOf(heard.fault)}</p>}
      {isDone || heard.fault !== undefined ? null : (
        <JobProgress what={heard.latest?.what ?? 'Mixing the clays'} onStop={heard.stop} />
      )}
      {answer === undefined ? null : (
        <Unmet answer={answer} whose={whose} isAsked={palette !== undefined} />
      )}
      {answer === undefined || (!isDone && answer.missing.length === 0) ? null : (
        <Helps
          title="Colours nobody here has"
          none={`A clay of another colour would hardly widen ${whose}.`}
          helping={answer.missing.map((one) => ({ ...one, title: one.name }))}
          isWished={isWished}
          onWish={(one) => void wish(one.title, one)}
        />
      )}
      {answer === undefined || answer.known.length === 0 ? null : (
        <Helps
          title="Blocks of other lines"
          none=""
          helping={answer.known.map(({ clay, line: of, ...one }) => {
            const blockId = studio.byName.get(clay)?.blockId;
            const title = of === undefined ? clay : `${clay}, ${of}`;
            return { ...one, title, ...(blockId === undefined ? {} : { blockId }) };
          })}
          isWished={isWished}
          onWish={(one) => void wish(one.title, one)}
        />
      )}
    </>
  );
}

interface Helping {
  readonly title: string;
  readonly lab: Lab;
  readonly widens: number;
  readonly gives: readonly string[];
  readonly why: string;
  readonly blockId?: string;
}

function Helps({
  title,
  none,
  helping,
  isWished,
  onWish,
}: {
  readonly title: string;
  /** Said where nothing helps. */
  readonly none: string;
  readonly helping: readonly Helping[];
  readonly isWished: (lab: Lab) => boolean;
  readonly onWish: (one: Helping) => void;
}) {
  return (
    <section className="pile bench across">
      <div className="pile-head">
        <h2>{title}</h2>
        {helping.length === 0 ? null : <p className="small">The one that helps most is first</p>}
      </div>
      {helping.length === 0 ? <p>{none}</p> : null}
      <ul className="pile-cells" data-wide aria-label={title}>
        {helping.map((one) => (
          <li key={`${one.title} ${one.lab.join()}`} className="pile-cell">
            <Tile lab={one.lab} name={one.title} />
            <Unshown lab={one.lab} />
            <p>
              <b>{one.title}</b>
            </p>
            <p className="small">{widensInWords(one)}</p>
            <p className="small">{one.why}</p>
            <div className="actions">
              {isWished(one.lab) ? (
                <span className="small">On the list</span>
              ) : (
                <Button aria-label={`Wish for this: ${one.title}`} onPress={() => onWish(one)}>
                  Wish for this
                </Button>
              )}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Unmet({
  answer: { unmet },
  whose,
  isAsked,
}: {
  readonly answer: WidenAnswer;
  readonly whose: string;
  readonly isAsked: boolean;
}) {
  if (!isAsked) return null;
  return (
    <p className="lead">
      {unmet.length === 0
        ? `Mixes of ${whose} come close to every colour of this palette.`
        : `Mixes of ${whose} do not come close to ${inARow(unmet)}.`}
    </p>
  );
}

/** Why a colour is on the list, for whoever reads the list later. */
function reasonInWords(one: Pick<Helping, 'widens' | 'gives'>, whose: string): string {
  const widens = `with ${whose} ${moreInWords(one.widens).toLowerCase()} colours`;
  return one.gives.length === 0 ? widens : `gives ${inARow(one.gives)}; ${widens}`;
}
