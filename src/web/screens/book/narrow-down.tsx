import { useQuery } from '@tanstack/react-query';
import { useMemo, useState } from 'react';
import { COLOUR_FAMILIES } from '../../../core/colour/colour-families.ts';
import { VERDICT_LIMITS } from '../../../core/verdict/verdict.ts';
import { typedAim } from '../../aims/typed-aim.ts';
import { client } from '../../book/client.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { gFrom, massInWords, useUnits } from '../../book/units.ts';
import { labFromAddress, labInAddress } from '../../colour/lab-in-address.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { Button } from '../../parts/button.tsx';
import { ClayPicker } from '../../parts/clay-picker.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import {
  type BookQuestion,
  familyInWords,
  filterInWords,
  NARROWED_BY,
  type NarrowedBy,
  type QuestionNames,
  USUALLY_WITHIN,
} from './question.ts';

/** Names for the ids in a question. */
export function useQuestionNames(): QuestionNames {
  const { nameOf } = useBlockNames();
  const lines = useAll('line').byId;
  const boxes = useAll('box').byId;
  const units = useUnits();
  return useMemo(
    () => ({
      line: (id) => lines.get(id)?.body.name ?? 'a deleted line',
      clay: nameOf,
      box: (id) => boxes.get(id)?.body.lid ?? 'a deleted box',
      near: (near) => spokenColour(labFromAddress(near)!),
      grams: (grams) => massInWords(grams, units),
    }),
    [lines, boxes, nameOf, units],
  );
}

/** The filters set now, each with a button to remove it. */
export function NarrowedTo({
  question,
  names,
  onChange,
}: {
  readonly question: BookQuestion;
  readonly names: QuestionNames;
  readonly onChange: (next: BookQuestion) => void;
}) {
  const held = NARROWED_BY.filter((by) => question[by] !== undefined);
  if (held.length === 0) return null;
  return (
    <ul className="narrowed" aria-label="Filters">
      {held.map((by) => {
        const words = filterInWords(by, question, names);
        return (
          <li key={by}>
            <Button
              aria-label={`Remove filter: ${words}`}
              onPress={() => onChange(without(question, by))}
            >
              {words} <span aria-hidden="true">×</span>
            </Button>
          </li>
        );
      })}
      {held.length < 2 ? null : (
        <li>
          <Button
            kind="quiet"
            onPress={() => onChange(held.reduce<BookQuestion>(without, question))}
          >
            Clear filters
          </Button>
        </li>
      )}
    </ul>
  );
}

export function without(question: BookQuestion, by: NarrowedBy | 'find'): BookQuestion {
  const { [by]: _, ...rest } = question;
  if (by !== 'near') return rest;
  const { within: __, ...plain } = rest;
  return plain;
}

const ANY = '';

/** Filters for mixes: lines, clays, boxes and tags, a colour, and the amount in stock. */
export function NarrowDown({
  question,
  onChange,
}: {
  readonly question: BookQuestion;
  readonly onChange: (next: BookQuestion) => void;
}) {
  const lines = useAll('line').records;
  const blocks = useAll('block').byId;
  const boxes = useAll('box').records;
  const tags = useTags();
  const units = useUnits();
  const isOfLine = (id: string) => blocks.get(id)?.body.lineId === question.line;
  const set = <K extends keyof BookQuestion>(by: K, value: BookQuestion[K] | undefined) => {
    const { [by]: _, ...rest } = question;
    onChange(value === undefined ? rest : { ...rest, [by]: value });
  };
  const picked = (by: 'line' | 'box' | 'tag') => (value: string) =>
    set(by, value === ANY ? undefined : value);
  return (
    <section className="narrow" aria-label="Filter">
      <Pick
        label="Colour"
        value={question.colour ?? ANY}
        onChange={(value) => set('colour', value === ANY ? undefined : value)}
        options={[
          [ANY, 'Any'],
          ...COLOUR_FAMILIES.map((family) => [family, familyInWords(family)] as const),
        ]}
      />
      <NearColour question={question} onChange={onChange} />
      <Pick
        label="Line"
        value={question.line ?? ANY}
        onChange={picked('line')}
        options={[[ANY, 'Any'], ...lines.map(({ id, body }) => [id, body.name] as const)]}
      />
      <ClayPicker
        label="With clay"
        value={question.clay}
        none="Any"
        onChange={(id) => set('clay', id)}
        {...(question.line === undefined ? {} : { among: isOfLine })}
      />
      {boxes.length === 0 ? null : (
        <Pick
          label="Stored in"
          value={question.box ?? ANY}
          onChange={picked('box')}
          options={[[ANY, 'Anywhere'], ...boxes.map(({ id, body }) => [id, body.lid] as const)]}
        />
      )}
      <Pick
        label="Tile"
        value={question.tile ?? ANY}
        onChange={(value) => set('tile', value === ANY ? undefined : value)}
        options={[
          [ANY, 'With or without'],
          ['with', 'With a tile'],
          ['without', 'Without a tile'],
        ]}
      />
      {tags.length === 0 && question.tag === undefined ? null : (
        <Pick
          label="Tag"
          value={question.tag ?? ANY}
          onChange={picked('tag')}
          options={[
            [ANY, 'Any'],
            ...tagOptions(tags, question.tag).map(
              ({ tag, mixes }) => [tag, mixes === 0 ? tag : `${tag} (${mixes})`] as const,
            ),
          ]}
        />
      )}
      <StockAllows
        key={question.grams}
        grams={question.grams}
        unit={units.mass}
        shown={
          question.grams === undefined
            ? ''
            : String(Number((question.grams / gFrom(1, units)).toFixed(2)))
        }
        onChange={(typed) => set('grams', typed === undefined ? undefined : gFrom(typed, units))}
      />
    </section>
  );
}

function useTags() {
  const { data } = useQuery({
    queryKey: ['tags'],
    queryFn: async () => (await client.call('tagsOfMixes', { query: { limit: 200 } })).body.tags,
  });
  return data ?? [];
}

function tagOptions(
  tags: readonly { readonly tag: string; readonly mixes: number }[],
  held: string | undefined,
) {
  const known = held === undefined || tags.some(({ tag }) => tag === held);
  return known ? tags : [{ tag: held, mixes: 0 }, ...tags];
}

function NearColour({
  question,
  onChange,
}: {
  readonly question: BookQuestion;
  readonly onChange: (next: BookQuestion) => void;
}) {
  const { near, within } = question;
  const [typed, setTyped] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const take = async () => {
    if (typed.trim() === '') return;
    const aim = await typedAim(typed);
    if ('no' in aim) return setNo(aim.no);
    setNo(undefined);
    setTyped('');
    const { sort: _, ...rest } = question;
    onChange({ ...rest, near: labInAddress(aim.lab) });
  };
  return (
    <div className="narrow-near">
      <Form onSend={take}>
        <Field
          label="Close to a colour"
          value={typed}
          onChange={setTyped}
          onBlur={() => void take()}
          help={`#8a3b2c, L* a* b*, or Munsell${near === undefined ? '' : '; replaces the one set'}`}
          {...(no === undefined ? {} : { no })}
        />
      </Form>
      {near === undefined ? null : (
        <Pick
          label="How close"
          value={String(within ?? USUALLY_WITHIN)}
          onChange={(value) => onChange({ ...question, within: Number(value) })}
          options={VERDICT_LIMITS.filter(([word]) => word !== 'same').map(
            ([word, limit]) => [String(limit), word] as const,
          )}
        />
      )}
    </div>
  );
}

function StockAllows({
  grams,
  unit,
  shown,
  onChange,
}: {
  readonly grams: number | undefined;
  readonly unit: string;
  readonly shown: string;
  readonly onChange: (typed: number | undefined) => void;
}) {
  const [typed, setTyped] = useState(shown);
  const take = () => {
    const value = Number(typed.trim().replace(',', '.'));
    if (typed.trim() === '') {
      if (grams !== undefined) onChange(undefined);
    } else if (value > 0 && value <= 1e5 && typed !== shown) onChange(value);
  };
  return (
    <Form onSend={take}>
      <Field
        label={`Enough stock for a batch of, ${unit}`}
        value={typed}
        onChange={setTyped}
        onBlur={take}
        inputMode="decimal"
        help="Uses the amounts counted in Stock."
      />
    </Form>
  );
}
