import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useCallback, useDeferredValue, useEffect, useMemo, useRef, useState } from 'react';
import { FARTHEST_DE00 } from '../../domain/records/mix-filters.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { type ListHere, useList } from '../book/list.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { ContactSheet } from '../parts/contact-sheet.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { MixTable } from './book/mix-table.tsx';
import { type MixRow, MixTile } from './book/mix-tile.tsx';
import { NarrowDown, NarrowedTo, useQuestionNames, without } from './book/narrow-down.tsx';
import { PointAtColour } from './book/point-at-colour.tsx';
import {
  type BookQuestion,
  filterInWords,
  isNarrowed,
  listQueryOf,
  NARROWED_BY,
  type QuestionNames,
  questionInWords,
  sortOf,
  WORD_OF,
} from './book/question.ts';
import { placeOf, savePlace } from './book/saved-place.ts';
import { count } from './count.ts';
import '../look/book.css';
import { labFromAddress, labInAddress } from '../colour/lab-in-address.ts';

/** What was that green, and where is it? */
export function BookScreen() {
  const question = useSearch({ strict: false }) as BookQuestion;
  const navigate = useNavigate();
  const ask = useCallback(
    (next: BookQuestion, replace = false) => void navigate({ to: '/book', search: next, replace }),
    [navigate],
  );
  const [text, setText] = useTypedFind(question, ask);
  const [narrowing, setNarrowing] = useState(false);
  const names = useQuestionNames();
  const look = question.as ?? 'tiles';
  const { sheet, startAt, onPlace } = useMixList(question);
  const { total, fault } = sheet;
  const asked = (question.find ?? '') !== '' || isNarrowed(question);
  const nothing = total === 0 && !asked;
  useEffect(() => {
    // The first mix may have been saved on another page.
    if (total === 0 && sheet.behind) sheet.refresh();
  }, [total, sheet]);
  const held = NARROWED_BY.filter((by) => question[by] !== undefined).length;
  return (
    <div className="screen">
      <header>
        <h1>Mix book</h1>
        {nothing || total === undefined ? null : (
          <p className="soft" role="status">
            {asked
              ? `${questionInWords(question, names)}: ${total.toLocaleString('en')}`
              : count(total, 'mix', 'mixes')}
          </p>
        )}
      </header>
      {nothing ? (
        <EmptyState
          picture="tiles"
          title="No mixes yet"
          actions={
            <>
              <Link className="button" data-kind="main" to="/find">
                Find a recipe
              </Link>
              <Link className="button" to="/book/write">
                Paste my notes
              </Link>
            </>
          }
        >
          Save a mix and you can find it again by colour, with its recipe, tile and history. Find a
          recipe, or paste the notes you have.
        </EmptyState>
      ) : (
        <>
          <div className="book-ask">
            <Field
              label="Search"
              value={text}
              onChange={setText}
              placeholder="green, starfish, K7 …"
            />
            <Choice
              label="Sort by"
              value={sortOf(question)}
              onChange={(sort) => ask({ ...question, sort })}
              options={[
                ...(question.near === undefined ? [] : [['near', 'Closest'] as const]),
                ['changed', 'Newest'],
                ['code', 'Code'],
                ['name', 'Name'],
              ]}
            />
            <Choice<'tiles' | 'table'>
              label="View"
              value={look}
              onChange={(as) => {
                const { as: _, ...rest } = question;
                ask(as === 'table' ? { ...rest, as } : rest);
              }}
              options={[
                ['tiles', 'Grid'],
                ['table', 'Table'],
              ]}
            />
            <div className="actions">
              <Button aria-expanded={narrowing} onPress={() => setNarrowing(!narrowing)}>
                Filter{held === 0 ? '' : ` (${held})`}
              </Button>
              <Link className="button" data-kind="quiet" to="/book/write">
                Paste my notes
              </Link>
            </div>
          </div>
          <PointAtColour
            chosen={labFromAddress(question.near)}
            onPoint={(lab) => {
              const { near: _n, within: _w, sort: _s, ...rest } = question;
              ask(
                lab === undefined
                  ? rest
                  : { ...rest, near: labInAddress(lab), within: FARTHEST_DE00 },
              );
            }}
          />
          {narrowing ? <NarrowDown question={question} onChange={ask} /> : null}
          <NarrowedTo question={question} names={names} onChange={ask} />
          {sheet.behind && total !== 0 ? (
            <p className="actions" role="status">
              <span>The book was changed on another device.</span>
              <Button onPress={sheet.refresh}>Refresh</Button>
            </p>
          ) : null}
          {fault === null ? null : <p className="field-no">{wordsOf(fault)}</p>}
          {total === undefined ? (
            fault === null ? (
              <JobProgress what="Loading" />
            ) : null
          ) : total === 0 ? (
            <NothingFits question={question} names={names} sheet={sheet} ask={ask} />
          ) : look === 'tiles' ? (
            <section className="bench" aria-label="Mixes in a grid">
              <ContactSheet
                key={JSON.stringify(question)}
                label="Mixes"
                count={total}
                itemAt={sheet.at}
                onSight={sheet.want}
                startAt={startAt}
                onPlace={onPlace}
              >
                {(row, tabIndex) =>
                  row.gone ? (
                    <span className="contact-name soft">Deleted</span>
                  ) : (
                    <Link to="/book/$id" params={{ id: row.id }} tabIndex={tabIndex}>
                      <MixTile row={row} />
                      <span className="contact-name">
                        {row.code === undefined ? null : <span className="code">{row.code} </span>}
                        {row.name ?? ''}
                      </span>
                    </Link>
                  )
                }
              </ContactSheet>
            </section>
          ) : (
            <MixTable
              key={JSON.stringify(question)}
              sheet={sheet}
              total={total}
              startAt={startAt}
              onPlace={onPlace}
            />
          )}
        </>
      )}
    </div>
  );
}

/** The search text: typed text goes into the address after a pause, and the address into the field. */
function useTypedFind(
  question: BookQuestion,
  ask: (next: BookQuestion, replace?: boolean) => void,
): readonly [string, (text: string) => void] {
  const inAddress = question.find ?? '';
  const [text, setText] = useState(inAddress);
  const written = useRef(inAddress);
  useEffect(() => {
    if (inAddress === written.current) return;
    written.current = inAddress;
    setText(inAddress);
  }, [inAddress]);
  const typed = useDeferredValue(text);
  useEffect(() => {
    if (typed.trim() === written.current.trim()) return;
    const timer = setTimeout(() => {
      written.current = typed.trim();
      const { find: _, ...rest } = question;
      ask(typed.trim() === '' ? rest : { ...rest, find: typed.trim() }, true);
    }, TYPING_MS);
    return () => clearTimeout(timer);
  }, [typed, question, ask]);
  return [text, setText];
}

const TYPING_MS = 150;

/** The list of mixes for a question, and the place the user saw last in it. */
function useMixList(question: BookQuestion) {
  const table = question.as === 'table';
  const asked = useMemo(
    () => ({ ...listQueryOf(question), ...(table ? { parts: 'true' as const } : {}) }),
    [question, table],
  );
  const { as: _, ...order } = question;
  const place = JSON.stringify(order);
  const startAt = useMemo(() => placeOf(place), [place]);
  const onPlace = useCallback((index: number) => savePlace(place, index), [place]);
  const key = useMemo(() => ['mixes', 'sheet', asked], [asked]);
  const sheet = useList<MixRow>({
    key,
    startAt,
    ask: async (at) => (await client.call('mixList', { query: { ...asked, ...at } })).body,
  });
  return { sheet, startAt, onPlace };
}

/** Which filter to remove, and how many mixes each would then show. */
function NothingFits({
  question,
  names,
  sheet,
  ask,
}: {
  readonly question: BookQuestion;
  readonly names: QuestionNames;
  readonly sheet: ListHere<MixRow>;
  readonly ask: (next: BookQuestion) => void;
}) {
  const ways = (sheet.without ?? [])
    .map(({ leave, total }) => ({ by: WORD_OF[leave], total }))
    .filter(({ by, total }) => total > 0 && question[by] !== undefined)
    .sort((one, other) => other.total - one.total);
  const alone = !isNarrowed(question);
  return (
    <EmptyState
      title={alone ? `No mix found for “${question.find ?? ''}”` : 'No mix fits all filters'}
      actions={
        <>
          {alone
            ? null
            : ways.map(({ by, total }) => (
                <Button key={by} onPress={() => ask(without(question, by))}>
                  Without {filterInWords(by, question, names)}: {count(total, 'mix', 'mixes')}
                </Button>
              ))}
          {alone || ways.length > 0 ? null : (
            <Button onPress={() => ask(NARROWED_BY.reduce<BookQuestion>(without, question))}>
              Clear filters
            </Button>
          )}
        </>
      }
    >
      {alone
        ? 'Every word must appear in the code, name, tags, note or colour name. Try fewer words.'
        : ways.length === 0
          ? 'Removing one filter still finds nothing.'
          : 'Try without one filter:'}
      {question.grams === undefined
        ? ''
        : ' Clays whose amount was never entered in Stock count as not there.'}
    </EmptyState>
  );
}
