import './clay-picker.css';
import { type ReactNode, useId, useState } from 'react';
import { Button as AriaButton } from 'react-aria-components';
import { clayKey } from '../../core/notation/clay-name.ts';
import { useColours } from '../book/colours.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { byHue } from '../colour/by-hue.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';
import { Field } from './field.tsx';
import { Tile } from './tile.tsx';

/** Chooses one clay by its colour and name: a button with the choice, and all clays in a dialog. */
export function ClayPicker({
  label,
  value,
  onChange,
  none,
  among,
}: {
  readonly label: string;
  readonly value: string | undefined;
  readonly onChange: (blockId: string | undefined) => void;
  /** What no clay means, where none may be chosen: "Any". */
  readonly none?: string;
  /** Only these blocks. */
  readonly among?: (blockId: string) => boolean;
}) {
  const [isOpen, setOpen] = useState(false);
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const id = useId();
  const words = value === undefined ? (none ?? 'Choose a clay') : nameOf(value);
  const take = (chosen: string | undefined) => {
    setOpen(false);
    onChange(chosen);
  };
  return (
    <div className="field">
      <span className="field-label" id={id} aria-hidden="true">
        {label}
      </span>
      <AriaButton
        className="clay-picked"
        aria-label={`${label}: ${words}`}
        onPress={() => setOpen(true)}
      >
        {value === undefined ? (
          <span className="no-colour" />
        ) : (
          <Tile lab={colours.of(value)?.lab} name={words} coming={colours.isPending} />
        )}
        {words}
      </AriaButton>
      {isOpen ? (
        <ClayDialog
          title={label}
          value={value}
          onChoose={take}
          onClose={() => setOpen(false)}
          {...(among === undefined ? {} : { among })}
          {...(none === undefined || value === undefined
            ? {}
            : { none: <Button onPress={() => take(undefined)}>{none}</Button> })}
        />
      ) : null}
    </div>
  );
}

/** A button that opens all clays, to add one of them. */
export function ClayAdder({
  label,
  among,
  onChoose,
}: {
  readonly label: string;
  /** Only these blocks. */
  readonly among: (blockId: string) => boolean;
  readonly onChoose: (blockId: string) => void;
}) {
  const [isOpen, setOpen] = useState(false);
  if (!useAll('block').records.some(({ id }) => among(id))) return null;
  return (
    <>
      <Button kind="quiet" onPress={() => setOpen(true)}>
        {label}
      </Button>
      {isOpen ? (
        <ClayDialog
          title={label}
          among={among}
          onChoose={(id) => {
            setOpen(false);
            onChoose(id);
          }}
          onClose={() => setOpen(false)}
        />
      ) : null}
    </>
  );
}

interface Choices {
  readonly value?: string | undefined;
  readonly onChoose: (blockId: string) => void;
  readonly among?: (blockId: string) => boolean;
}

/** A dialog that chooses one clay, or something else that is above the clays. */
export function ClayDialog({
  title,
  onClose,
  none,
  children,
  ...choices
}: Choices & {
  readonly title: string;
  readonly onClose: () => void;
  /** A button for no clay. */
  readonly none?: ReactNode;
  readonly children?: ReactNode;
}) {
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      {children}
      <ClayChoices {...choices} />
      <div className="actions">
        {none}
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

/** All clays of the book in their lines, by hue; typing narrows them by name, line or colour. */
export function ClayChoices({ value, onChoose, among = () => true }: Choices) {
  const blocks = useAll('block').records;
  const lines = useAll('line').records;
  const colours = useColours();
  const [typed, setTyped] = useState('');
  const key = clayKey(typed);
  const fits = (id: string, words: readonly string[]) =>
    among(id) && (key === '' || words.some((word) => clayKey(word).includes(key)));
  return (
    <>
      <Field label="Search" value={typed} onChange={setTyped} autoFocus />
      <div className="clay-lines">
        {lines.map((line) => {
          const own = blocks
            .filter(({ id, body }) => {
              const lab = colours.of(id)?.lab;
              const said = lab === undefined ? [] : [spokenColour(lab)];
              return (
                body.lineId === line.id &&
                fits(id, [body.name, body.code ?? '', line.body.name, ...said])
              );
            })
            .toSorted((one, other) => {
              const [first, second] = [colours.of(one.id)?.lab, colours.of(other.id)?.lab];
              if (first === undefined || second === undefined) return first === undefined ? 1 : -1;
              return byHue(first, second);
            });
          if (own.length === 0) return null;
          return (
            <section key={line.id} className="clay-line" aria-label={line.body.name}>
              <h3>{line.body.name}</h3>
              <ul className="bench clay-choices">
                {own.map(({ id, body }) => (
                  <li key={id}>
                    <button type="button" aria-pressed={id === value} onClick={() => onChoose(id)}>
                      <Tile lab={colours.of(id)?.lab} name={body.name} coming={colours.isPending} />
                      <span className="small" aria-hidden="true">
                        {body.name}
                      </span>
                    </button>
                  </li>
                ))}
              </ul>
            </section>
          );
        })}
      </div>
    </>
  );
}
