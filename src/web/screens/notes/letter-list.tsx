import { ClayPicker } from '../../parts/clay-picker.tsx';
import { count } from '../count.ts';
import type { ChosenLetters, UnknownLetter } from './letters.ts';

/** Letters of the notes that name no clay yet, each once, with the clay it is to mean. */
export function LetterList({
  letters,
  chosen,
  guess,
  onChoose,
}: {
  readonly letters: readonly UnknownLetter[];
  readonly chosen: ChosenLetters;
  readonly guess: (means: string) => string | undefined;
  readonly onChoose: (letters: string, blockId: string | undefined) => void;
}) {
  const rows = [
    ...Object.keys(chosen).map((word) => ({ letters: word, lines: 0 })),
    ...letters.filter(({ letters: word }) => chosen[word] === undefined),
  ] as readonly UnknownLetter[];
  if (rows.length === 0) return null;
  return (
    <section className="part" aria-label="Which clay is meant?">
      <h2>Which clay is meant?</h2>
      <ul className="letter-list">
        {rows.map(({ letters: word, means, lines }) => {
          const guessed = means === undefined ? undefined : guess(means);
          return (
            <li key={word}>
              <ClayPicker
                label={`${word} is${means === undefined ? '' : ` (${means})`}`}
                value={chosen[word] ?? guessed}
                onChange={(id) => onChoose(word, id)}
              />
              {chosen[word] === undefined && guessed !== undefined ? (
                <button type="button" className="button" onClick={() => onChoose(word, guessed)}>
                  Yes
                </button>
              ) : null}
              {lines === 0 ? null : <span className="small soft">in {count(lines, 'line')}</span>}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
