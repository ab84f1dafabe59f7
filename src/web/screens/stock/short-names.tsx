import { useQueries } from '@tanstack/react-query';
import { useState } from 'react';
import { shortNameProblem } from '../../../core/notation/shorthand-vocabulary.ts';
import { shortNameStep } from '../../../domain/changes/change-settings.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { useColours, useColoursOf } from '../../book/colours.ts';
import { titleOfMix, useBlockNames } from '../../book/names.ts';
import { recordQuery, useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { ClayPicker } from '../../parts/clay-picker.tsx';
import { Field } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { Tile } from '../../parts/tile.tsx';
import { useSettings, withField } from '../settings/use-settings.ts';

/** The user's short names for clays: seen, edited, and printed as a cheat sheet. */
export function ShortNames() {
  const { body, keep } = useSettings();
  const list = (body.shortNames ?? []).toSorted((one, other) =>
    one.shortName.localeCompare(other.shortName, 'en'),
  );
  const { nameOf, lineOf } = useBlockNames();
  const powders = useAll('powder').byId;
  const blocks = useColours();
  const mixIds = list.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : []));
  const mixes = useQueries({ queries: mixIds.map((id) => recordQuery(id)) });
  const ofMixes = useColoursOf(mixIds);
  const called = ({ kind, id }: (typeof list)[number]['of']) => {
    if (kind === 'powder') return powders.get(id)?.body.name ?? 'a deleted powder';
    if (kind === 'block') return nameOf(id);
    const mix = mixes[mixIds.indexOf(id)]?.data;
    return mix?.kind === 'mix' ? titleOfMix(mix) : 'a mix';
  };
  return (
    <section className="stack cheat" aria-label="Short names">
      {list.length === 0 ? (
        <p className="soft">
          With K for Kelp and F for Foam you write 3K 1F. Add your own letters.
        </p>
      ) : (
        <ul className="cheat-sheet">
          {list.map(({ shortName, of }) => (
            <li key={shortName}>
              <Tile
                lab={(blocks.of(of.id) ?? ofMixes.shown(of.id))?.lab}
                name={called(of)}
                coming={blocks.isPending || ofMixes.isPending}
              />
              <span className="cheat-letter serif">{shortName}</span>
              <span>
                {called(of)}
                <span className="small soft">{of.kind === 'block' ? lineOf(of.id) : of.kind}</span>
              </span>
              <Button
                kind="quiet"
                aria-label={`Remove the short name ${shortName}`}
                onPress={() =>
                  keep(
                    `Removed the short name ${shortName}`,
                    withField(
                      body,
                      'shortNames',
                      body.shortNames?.filter((one) => one.shortName !== shortName),
                    ),
                  )
                }
              >
                Remove
              </Button>
            </li>
          ))}
        </ul>
      )}
      <AddShortName />
      {list.length === 0 ? null : (
        <div className="actions">
          <Button onPress={() => window.print()}>Print the cheat sheet</Button>
        </div>
      )}
    </section>
  );
}

function AddShortName() {
  const [settings] = useAll('settings').records;
  const { nameOf } = useBlockNames();
  const [letters, setLetters] = useState('');
  const [clay, setClay] = useState<string | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const save = async () => {
    const shortName = letters.trim();
    const problem = shortName === '' ? 'Type a letter or two.' : shortNameProblem(shortName);
    if (problem !== undefined) return setNo(problem);
    if (clay === undefined) return setNo('Choose the clay.');
    try {
      await sendChange(`The short name ${shortName} stands for ${nameOf(clay)}`, [
        shortNameStep(settings, shortName, { kind: 'block', id: clay }),
      ]);
      setLetters('');
      setClay(undefined);
      setNo(undefined);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Form className="count-line" onSend={save} label="Add a short name">
      <Field label="Short name" value={letters} onChange={setLetters} no={no} />
      <ClayPicker label="Clay" value={clay} onChange={setClay} />
      <Button type="submit">Add</Button>
    </Form>
  );
}
