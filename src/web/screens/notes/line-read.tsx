import { useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import type { BlockLine } from '../../../core/notation/shorthand-block.ts';
import type { ShorthandError } from '../../../core/notation/shorthand-terms.ts';
import { percentInWords } from '../../../domain/powders-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { countInWords } from '../../parts/piece-group.ts';

export interface NamesHere {
  readonly nameOf: (id: string) => string;
  readonly labOf: (id: string) => Lab | undefined;
}

/** Puts other text in the place of an error, and maybe a note behind the line. */
export type OnMend = (line: BlockLine, error: ShorthandError, text: string, note?: string) => void;

/** One line of the notes as it was understood: the recipe with its pieces, or what is asked. */
export function LineRead({
  line,
  names,
  onMend,
}: {
  readonly line: BlockLine;
  readonly names: NamesHere;
  readonly onMend: OnMend;
}) {
  if (line.kind === 'mix') return <MixRead line={line} names={names} />;
  if (line.kind === 'errors') {
    return (
      <div className="stack tight">
        <span className="small soft">{line.raw}</span>
        {line.errors.map((error) => (
          <div key={error.column} className="stack tight">
            <p className="field-no">
              Line {line.line}, at “{error.found}”: {error.message}
            </p>
            <Mend line={line} error={error} onMend={onMend} />
          </div>
        ))}
      </div>
    );
  }
  if (line.kind !== 'remark') return null;
  return (
    <span className="soft">
      {line.letters === undefined
        ? line.text
        : `Letters: ${line.letters.map(({ letters, means }) => `${letters} is ${means}`).join(', ')}`}
    </span>
  );
}

function MixRead({
  line,
  names: { nameOf, labOf },
}: {
  readonly line: BlockLine & { readonly kind: 'mix' };
  readonly names: NamesHere;
}) {
  const { code, name, parts, powders, tags, note } = line.mix;
  const said = [
    ...parts.map(({ clay, parts }) => `${countInWords(parts)} ${nameOf(clay)}`),
    ...powders.map(({ powder, share }) => `${percentInWords(share)} ${nameOf(powder)}`),
  ];
  return (
    <div className="note-mix">
      <span className="pieces" data-size="card">
        <PieceBar
          groups={parts.map(({ clay, parts }) => ({
            id: clay,
            name: nameOf(clay),
            lab: labOf(clay),
            parts,
          }))}
        />
      </span>
      <p>
        {code === undefined ? null : <span className="code">{code} </span>}
        {name === undefined ? null : <b>{name} </b>}
        {said.join(', ')}
        {tags.length === 0 ? null : (
          <span className="soft"> {tags.map((tag) => `#${tag}`).join(' ')}</span>
        )}
      </p>
      {note === undefined ? null : <p className="small">Note: {note}</p>}
      {line.notes.map((assumed) => (
        <p key={assumed} className="soft small">
          {assumed}
        </p>
      ))}
    </div>
  );
}

/** What can be pressed to put an error right. */
function Mend({
  line,
  error,
  onMend,
}: {
  readonly line: BlockLine;
  readonly error: ShorthandError;
  readonly onMend: OnMend;
}) {
  const [amount, setAmount] = useState('');
  if (error.pinch) {
    const take = (text: string) => onMend(line, error, text, `written: ${error.found.trim()}`);
    return (
      <div className="actions">
        {['0.1', '¼'].map((text) => (
          <Button key={text} onPress={() => take(text)}>
            {text} part
          </Button>
        ))}
        <Field
          label="Or parts"
          value={amount}
          onChange={setAmount}
          onBlur={() => (amount.trim() === '' ? undefined : take(amount.trim()))}
          inputMode="decimal"
        />
      </div>
    );
  }
  const choices = error.choices ?? [];
  if (choices.length < 2) return null;
  return (
    <div className="actions">
      {choices.map((choice) => (
        <Button
          key={choice}
          onPress={() => onMend(line, error, `"${choice.replaceAll('"', '""')}"`)}
        >
          {choice}
        </Button>
      ))}
    </div>
  );
}
