import { useQueries } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import { wordsOf } from '../book/change.ts';
import { useColours } from '../book/colours.ts';
import { useMixColour } from '../book/mix-colour.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { recordQuery } from '../book/queries.ts';
import { Choice } from '../parts/choice.tsx';
import { ContactSheet } from '../parts/contact-sheet.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { Tile } from '../parts/tile.tsx';
import { count } from './start.tsx';
import { type MixSort, useMixPages } from './use-mix-pages.ts';

/** What was that green, and where is it? */
export function MixBook() {
  const [text, setText] = useState('');
  const [sort, setSort] = useState<MixSort>('changed');
  const [look, setLook] = useState<'tiles' | 'table'>('tiles');
  const asked = useDeferredValue(text.trim());
  const tag = asked.startsWith('#') ? asked.slice(1).trim() : '';
  const pages = useMixPages({ sort, text: tag === '' ? asked.replace(/^#/, '') : '', tag });
  const nothing = pages.total === 0 && !pages.isPending && asked === '';
  return (
    <div className="screen">
      <header>
        <h1>Mix book</h1>
        {nothing ? null : (
          <p className="soft" role="status">
            {asked === ''
              ? count(pages.total, 'mix', 'mixes')
              : `${count(pages.total, 'mix', 'mixes')} for “${asked}”`}
          </p>
        )}
      </header>
      {nothing ? (
        <EmptyState
          title="No mix is kept yet"
          doings={
            <>
              <Link className="button" data-kind="main" to="/seek">
                Seek a colour
              </Link>
              <Link className="button" to="/book/write">
                Write down old recipes
              </Link>
            </>
          }
        >
          A mix kept here has its recipe, its tile and its history, and can be found by its colour.
          Seek one, or type the pages of your paper book.
        </EmptyState>
      ) : (
        <>
          <div className="book-ask">
            <Field
              label="Find"
              value={text}
              onChange={setText}
              help="Code, name, line, colour in words, or #tag."
            />
            <Choice<MixSort>
              label="Order"
              value={sort}
              onChange={setSort}
              options={[
                ['changed', 'Newest'],
                ['code', 'By code'],
                ['name', 'By name'],
              ]}
            />
            <Choice
              label="Shown as"
              value={look}
              onChange={setLook}
              options={[
                ['tiles', 'Tiles'],
                ['table', 'Table'],
              ]}
            />
            <Link className="button" to="/book/write">
              Write down recipes
            </Link>
          </div>
          {pages.fault === null ? null : <p className="field-no">{wordsOf(pages.fault)}</p>}
          {pages.isPending ? (
            <JobProgress what="Opening the book" />
          ) : pages.total === 0 ? (
            <EmptyState title={`Nothing answers to “${asked}”`}>
              Every word must be somewhere in the code, the name, a tag, the note or the name of the
              colour. Try fewer words.
            </EmptyState>
          ) : look === 'tiles' ? (
            <section className="bench" aria-label="Mixes as tiles">
              <ContactSheet
                label="Mixes"
                count={pages.total}
                itemAt={pages.at}
                onSight={pages.want}
              >
                {(mix, tabIndex) => (
                  <Link to="/book/$id" params={{ id: mix.id }} tabIndex={tabIndex}>
                    <MixTile mix={mix} />
                    <span className="contact-name">
                      {mix.body.code === undefined ? null : (
                        <span className="code">{mix.body.code} </span>
                      )}
                      {mix.body.name ?? ''}
                    </span>
                  </Link>
                )}
              </ContactSheet>
            </section>
          ) : (
            <MixTable pages={pages} />
          )}
        </>
      )}
    </div>
  );
}

/** The tile of a mix; what is foretold and not read is said to ears. */
export function MixTile({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const { lab, from } = useMixColour(mix);
  const foretold = from === 'kept' || from === 'now' ? ', foretold' : '';
  return <Tile lab={lab} name={`${titleOfMix(mix)}${foretold}`} />;
}

const TABLE_ROWS = 200;

function MixTable({ pages }: { pages: ReturnType<typeof useMixPages> }) {
  const rows = Array.from({ length: Math.min(pages.total, TABLE_ROWS) }, (_, i) =>
    pages.at(i),
  ).filter((mix) => mix !== undefined);
  return (
    <div className="scroll">
      <table className="table">
        <thead>
          <tr>
            <th>Tile</th>
            <th>Code</th>
            <th>Name</th>
            <th>Parts</th>
            <th>Tags</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((mix) => (
            <tr key={mix.id}>
              <td>
                <MixTile mix={mix} />
              </td>
              <td className="code">{mix.body.code ?? ''}</td>
              <td>
                <Link to="/book/$id" params={{ id: mix.id }}>
                  {titleOfMix(mix)}
                </Link>
              </td>
              <td>
                <MixPieces mix={mix} />
              </td>
              <td>{(mix.body.tags ?? []).join(', ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {pages.total > TABLE_ROWS ? (
        <p className="soft">
          The first {TABLE_ROWS} of {pages.total.toLocaleString('en')}; find by words to see others,
          or look at the tiles.
        </p>
      ) : null}
    </div>
  );
}

/** The pieces of a mix of the book; mixes among its parents by their own name and colour. */
export function MixPieces({
  mix,
  size = 'small',
}: {
  readonly mix: RecordOf<'mix'>;
  readonly size?: 'small' | 'middle' | 'large';
}) {
  return <PieceRow size={size} groups={useMixGroups(mix)} />;
}

/** Parents of a mix as groups of pieces. */
export function useMixGroups(mix: RecordOf<'mix'>) {
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const ids = mix.body.parts.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : []));
  const mixes = useQueries({ queries: ids.map((id) => recordQuery(id)) });
  return mix.body.parts.map(({ of, parts }) => {
    const asked = mixes[ids.indexOf(of.id)]?.data;
    const parent = asked?.kind === 'mix' ? asked : undefined;
    return {
      id: of.id,
      name: parent === undefined ? nameOf(of.id) : titleOfMix(parent),
      lab: colours.of(of.id)?.lab ?? parent?.body.foretold?.lab,
      parts,
    };
  });
}
