import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import type { EyeWord } from '../../../core/trial/by-eye-observer.ts';

/** Words that exclude each other, as the two ends of one direction. */
const PAIRS = [
  ['lighter', 'darker'],
  ['brighter', 'duller'],
  ['redder', 'greener'],
  ['yellower', 'bluer'],
] as const satisfies readonly (readonly [EyeWord, EyeWord])[];

/** How a test ball looks beside the original, in as many words as fit; "no difference" stands alone. */
export function EyeWords({
  label,
  value,
  onChange,
}: {
  readonly label: string;
  readonly value: readonly EyeWord[];
  readonly onChange: (words: readonly EyeWord[]) => void;
}) {
  const choose = (keys: Iterable<unknown>) => {
    const words = [...keys] as EyeWord[];
    const fresh = words.find((word) => !value.includes(word));
    if (fresh === undefined) return onChange(words);
    if (fresh === 'same') return onChange(['same']);
    const other = PAIRS.flatMap(([one, two]) =>
      one === fresh ? [two] : two === fresh ? [one] : [],
    );
    onChange(words.filter((word) => word !== 'same' && !other.some((gone) => gone === word)));
  };
  return (
    <ToggleButtonGroup
      aria-label={label}
      className="eye-words"
      selectionMode="multiple"
      selectedKeys={value}
      onSelectionChange={choose}
    >
      {PAIRS.map(([one]) => (
        <Word key={one} word={one} />
      ))}
      {PAIRS.map(([, two]) => (
        <Word key={two} word={two} />
      ))}
      <ToggleButton id="same" className="eye-word eye-same">
        no difference
      </ToggleButton>
    </ToggleButtonGroup>
  );
}

function Word({ word }: { readonly word: EyeWord }) {
  return (
    <ToggleButton id={word} className="eye-word">
      {word}
    </ToggleButton>
  );
}
