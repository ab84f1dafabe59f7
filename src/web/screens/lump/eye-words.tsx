import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import {
  EYE_GRADES,
  type EyeGrade,
  type EyeVerdict,
  type EyeWord,
} from '../../../core/trial/by-eye-observer.ts';

/** Words that exclude each other, as the two ends of one direction. */
const PAIRS = [
  ['lighter', 'darker'],
  ['brighter', 'duller'],
  ['redder', 'greener'],
  ['yellower', 'bluer'],
] as const satisfies readonly (readonly [EyeWord, EyeWord])[];

/** What the user said of one ball. */
export type EyeSaid = Required<Pick<EyeVerdict, 'how' | 'much'>>;

export const NOTHING_SAID: EyeSaid = { how: [], much: {} };

/** How a test ball looks beside the original, in as many words as fit; "no difference" stands alone. */
export function EyeWords({
  label,
  value,
  onChange,
}: {
  readonly label: string;
  readonly value: EyeSaid;
  readonly onChange: (said: EyeSaid) => void;
}) {
  const say = (how: readonly EyeWord[]) => {
    const much = how.flatMap((word) => (value.much[word] ? [[word, value.much[word]]] : []));
    onChange({ how, much: Object.fromEntries(much) });
  };
  const choose = (keys: Iterable<unknown>) => {
    const words = [...keys] as EyeWord[];
    const fresh = words.find((word) => !value.how.includes(word));
    if (fresh === undefined) return say(words);
    if (fresh === 'same') return say(['same']);
    const other = PAIRS.flatMap(([one, two]) =>
      one === fresh ? [two] : two === fresh ? [one] : [],
    );
    say(words.filter((word) => word !== 'same' && !other.some((gone) => gone === word)));
  };
  return (
    <>
      <ToggleButtonGroup
        aria-label={label}
        className="eye-words"
        selectionMode="multiple"
        selectedKeys={value.how}
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
      {value.how
        .filter((word) => word !== 'same')
        .map((word) => (
          <HowMuch
            key={word}
            word={word}
            value={value.much[word]}
            onChange={(grade) => onChange({ ...value, much: { ...value.much, [word]: grade } })}
          />
        ))}
    </>
  );
}

function Word({ word }: { readonly word: EyeWord }) {
  return (
    <ToggleButton id={word} className="eye-word">
      {word}
    </ToggleButton>
  );
}

/** How much of a word there is: three buttons, none of them pressed until the user says so. */
function HowMuch({
  word,
  value,
  onChange,
}: {
  readonly word: EyeWord;
  readonly value: EyeGrade | undefined;
  readonly onChange: (grade: EyeGrade) => void;
}) {
  return (
    <ToggleButtonGroup
      aria-label={`How much ${word}`}
      className="eye-words eye-much"
      selectionMode="single"
      selectedKeys={value === undefined ? [] : [value]}
      onSelectionChange={(keys) => {
        const [grade] = keys;
        if (grade !== undefined) onChange(grade as EyeGrade);
      }}
    >
      {EYE_GRADES.map((grade) => (
        <ToggleButton key={grade} id={grade} className="eye-word">
          {grade} {word}
        </ToggleButton>
      ))}
    </ToggleButtonGroup>
  );
}
