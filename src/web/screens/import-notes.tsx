import { keepPreviousData, useQueries, useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useEffect, useMemo, useState } from 'react';
import type { BlockLine } from '../../core/notation/shorthand-block.ts';
import type { ShorthandError } from '../../core/notation/shorthand-terms.ts';
import { changeSettingsStep } from '../../domain/changes/change-settings.ts';
import { saveMixesSteps } from '../../domain/changes/save-mixes.ts';
import type { BookStep } from '../../domain/records/change.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { wordsOfBook } from '../../domain/words-of-book.ts';
import { newId, sendChange, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { useColours } from '../book/colours.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { useBlockNames } from '../book/names.ts';
import { recordQuery, useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { count } from './count.ts';
import { LetterList } from './notes/letter-list.tsx';
import { type ChosenLetters, guessOf, isChosenLetters, wordsChosen } from './notes/letters.ts';
import { LineRead, type NamesHere } from './notes/line-read.tsx';
import { useNotes } from './notes/use-notes.ts';
import '../look/import-notes.css';

/** Paper notes become recipes, one mix per line; what is not understood is asked. */
export function ImportNotes() {
  const blocks = useAll('block');
  const lines = useAll('line');
  const powders = useAll('powder');
  const [settings] = useAll('settings').records;
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const [text, setText] = useLocalStorage(
    'page',
    '',
    (kept): kept is string => typeof kept === 'string',
  );
  const [chosen, setChosen] = useLocalStorage('letters of notes', NO_LETTERS, isChosenLetters);
  const [no, setNo] = useState<string | undefined>();
  const inPage = useMixesIn(text);
  const ofShortNames = useMixesOfShortNames(settings);
  const isKnown = inPage.isKnown && ofShortNames.isKnown;
  const mixes: MixesByIds = useMemo(
    () => new Map([...ofShortNames.mixes, ...inPage.mixes]),
    [ofShortNames.mixes, inPage.mixes],
  );
  const { words, kindOf } = useMemo(
    () =>
      wordsOfBook({
        blocks: blocks.records,
        lines: lines.byId,
        mixes: [...mixes.values()],
        powders: powders.records,
        shortNames: settings?.body.shortNames ?? [],
      }),
    [blocks.records, lines.byId, mixes, powders.records, settings],
  );
  const allWords = useMemo(() => {
    const own = wordsChosen(chosen);
    return {
      ...words,
      shortNames: [...own.shortNames, ...words.shortNames],
      names: [...(words.names ?? []), ...own.names],
    };
  }, [words, chosen]);
  const { look, isCurrent, toSave } = useNotes(text, allWords);
  const names: NamesHere = {
    nameOf: (id) => nameOfClay(id, mixes, powders.byId, nameOf),
    labOf: (id) => colours.of(id)?.lab,
  };
  const save = async () => {
    setNo(undefined);
    try {
      const { mixes, left } = await toSave();
      await sendChange(`Added ${count(mixes.length, 'recipe')}`, [
        ...saveMixesSteps(mixes, kindOf, newId),
        ...newShortNames(settings, chosen),
      ]);
      setText(left);
      setChosen(NO_LETTERS);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const choose = (word: string, id: string | undefined) => {
    const { [word]: _, ...rest } = chosen;
    setChosen(id === undefined ? rest : { ...rest, [word]: id });
  };
  if (!blocks.isPending && blocks.records.length === 0) {
    return (
      <EmptyState
        whole
        title="First name your blocks"
        actions={
          <Link className="button" data-kind="main" to="/">
            Add your blocks
          </Link>
        }
      >
        A line of your notes says 3G 1Y. Kneadwell must know which green and which yellow that is.
      </EmptyState>
    );
  }
  const spoken = blocks.records.flatMap(({ id, body }) => {
    const lab = colours.of(id)?.lab;
    return [{ id, name: body.name, spoken: lab === undefined ? '' : spokenColour(lab) }];
  });
  return (
    <div className="screen">
      <header>
        <h1>Your paper notes</h1>
        <p className="soft">
          Type or paste, one mix per line: K7 sea moss: 3 {blocks.records[0]?.body.name ?? 'Kelp'} 1{' '}
          {blocks.records[1]?.body.name ?? 'Sand'} #weeds {'//'} a bit pale
        </p>
      </header>
      <div className="two write-down">
        <div className="stack">
          <Field label="Recipes" value={text} onChange={setText} rows={14} />
          {no === undefined ? null : <p className="field-no">{no}</p>}
          <div className="actions">
            <Button
              kind="main"
              isDisabled={look.mixes === 0 || !isKnown || !isCurrent}
              onPress={() => save()}
            >
              Save {count(look.mixes, 'recipe')}
            </Button>
            <Link className="button" data-kind="quiet" to="/stock" search={{ view: 'names' }}>
              Short names
            </Link>
            <Link className="button" data-kind="quiet" to="/book">
              Back to the mix book
            </Link>
          </div>
        </div>
        <div className="stack">
          <LetterList
            letters={look.letters}
            chosen={chosen}
            guess={(means) => guessOf(means, spoken)}
            onChoose={choose}
          />
          <div className="part">
            <h2>Result</h2>
            {text.trim() === '' ? (
              <p className="soft">Nothing is saved until you press Save.</p>
            ) : null}
            <ol className="history" aria-label="Result" aria-live="polite">
              {look.lines.map((line) => (
                <li key={line.line}>
                  <LineRead
                    line={line}
                    names={names}
                    onMend={(...mend) => isCurrent && setText(mended(text, ...mend))}
                  />
                </li>
              ))}
            </ol>
            {look.more === 0 ? null : <p className="soft">{count(look.more, 'more line')}</p>}
          </div>
        </div>
      </div>
    </div>
  );
}

const NO_LETTERS: ChosenLetters = {};

/** The chosen letters as short names of the user's own, so that the next notes know them. */
function newShortNames(
  settings: RecordOf<'settings'> | undefined,
  chosen: ChosenLetters,
): readonly BookStep[] {
  const own = wordsChosen(chosen).shortNames;
  if (own.length === 0) return [];
  const before = settings?.body.shortNames ?? [];
  const shortNames = [
    ...before.filter(({ shortName }) => chosen[shortName] === undefined),
    ...own.map(({ word, clay }) => ({
      shortName: word,
      of: { kind: 'block' as const, id: clay },
    })),
  ];
  return [changeSettingsStep(settings, { shortNames })];
}

type MixesByIds = ReadonlyMap<
  string,
  { readonly id: string; readonly code?: string; readonly name?: string }
>;

const NONE: MixesByIds = new Map();
/** Asks the book only after a pause in typing. */
const TYPING_MS = 200;

/**
 * The mixes of the book that the text names. Only those are fetched; `isKnown` once they are known for the
 * text as it is now.
 */
function useMixesIn(page: string): { readonly mixes: MixesByIds; readonly isKnown: boolean } {
  const [paused, setPaused] = useState(page);
  useEffect(() => {
    const timer = setTimeout(() => setPaused(page), TYPING_MS);
    return () => clearTimeout(timer);
  }, [page]);
  const { data, isPlaceholderData } = useQuery({
    queryKey: ['words', paused],
    enabled: paused.trim() !== '',
    placeholderData: keepPreviousData,
    queryFn: async () => {
      const found = new Map<string, MixesByIds extends ReadonlyMap<string, infer M> ? M : never>();
      for (const text of piecesOf(paused)) {
        const { body } = await client.call('wordsInText', { body: { text } });
        for (const mix of body.mixes) found.set(mix.id, mix);
      }
      return found;
    },
  });
  const isKnown =
    paused === page && (page.trim() === '' || (data !== undefined && !isPlaceholderData));
  return { mixes: data ?? NONE, isKnown };
}

/** Mixes with a short name of the user's own. */
function useMixesOfShortNames(settings: RecordOf<'settings'> | undefined): {
  readonly mixes: MixesByIds;
  readonly isKnown: boolean;
} {
  const shortNames = settings?.body.shortNames ?? [];
  const ids = [...new Set(shortNames.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : [])))];
  const found = useQueries({ queries: ids.map((id) => recordQuery(id)) });
  const names = found.flatMap(({ data }) => {
    if (data?.kind !== 'mix') return [];
    const { code, name } = data.body;
    return [
      {
        id: data.id,
        ...(code === undefined ? {} : { code }),
        ...(name === undefined ? {} : { name }),
      },
    ];
  });
  const key = JSON.stringify(names);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the names are new with every drawing, what they say is not
  const mixes = useMemo(() => new Map(names.map((mix) => [mix.id, mix])), [key]);
  return { mixes, isKnown: found.every(({ isPending }) => !isPending) };
}

/** Most characters per call; a line is never cut. */
const MOST_ASKED = 16_000;

function piecesOf(page: string): readonly string[] {
  const pieces: string[] = [];
  let piece = '';
  for (const line of page.split('\n')) {
    if (piece.length + line.length > MOST_ASKED && piece !== '') {
      pieces.push(piece);
      piece = '';
    }
    piece += `${line.slice(0, MOST_ASKED)}\n`;
  }
  return piece.trim() === '' ? pieces : [...pieces, piece];
}

function nameOfClay(
  id: string,
  mixes: MixesByIds,
  powders: ReadonlyMap<string, { readonly body: BodyOf<'powder'> }>,
  nameOf: (id: string) => string,
): string {
  if (id.startsWith('line ')) return `the mix of ${id}`;
  const mix = mixes.get(id);
  return mix?.name ?? mix?.code ?? powders.get(id)?.body.name ?? nameOf(id);
}

/** The notes with other text in the place of an error, and a note behind the line where one is given. */
function mended(
  text: string,
  line: BlockLine,
  error: ShorthandError,
  instead: string,
  note?: string,
): string {
  const rows = text.split('\n');
  const row = rows[line.line - 1] ?? '';
  const at = error.column - 1;
  const next = row.slice(0, at) + instead + row.slice(at + error.length);
  const behind = note === undefined ? '' : next.includes('//') ? `; ${note}` : ` // ${note}`;
  rows[line.line - 1] = next + behind;
  return rows.join('\n');
}
