import { useState } from 'react';
import { Button } from '../parts/button.tsx';
import { ClayPicker } from '../parts/clay-picker.tsx';
import { Pick } from '../parts/field.tsx';
import { type FindRequest, type RequestShare, withChange } from './find-request.ts';
import { groupOf } from './question-from-request.ts';
import type { Studio } from './studio.ts';

const SHARES = [0, 0.1, 0.25, 0.33, 0.5, 0.67, 0.75, 0.9, 1];
const percent = (share: number) => `${Math.round(100 * share)} %`;

type Bound = 'atLeast' | 'atMost';
const BOUNDS: readonly (readonly [Bound, string])[] = [
  ['atLeast', 'at least'],
  ['atMost', 'at most'],
];

/** Minimum and maximum shares of a line, a clay type or one clay, in parts. */
export function ShareRules({
  request,
  studio,
  onChange,
}: {
  readonly request: FindRequest;
  readonly studio: Studio;
  readonly onChange: (request: FindRequest) => void;
}) {
  const [bound, setBound] = useState<Bound>('atLeast');
  const [share, setShare] = useState(0.5);
  const types = [...new Set(studio.clays.map(({ clayType }) => clayType))].filter(
    (s) => s !== 'opaque',
  );
  const groups = [
    ...studio.lines.map(({ id, name }) => [`line ${id}`, name] as const),
    ...types.map((type) => [`clayType ${type}`, `${type} clay`] as const),
  ];
  const put = (which: Bound, list: readonly RequestShare[]) =>
    onChange(withChange(request, { [which]: list }));
  const add = (of: string) => {
    const others = (request[bound] ?? []).filter((one) => one.of !== of);
    put(bound, [...others, { of, share }]);
  };
  const rules = BOUNDS.flatMap(([which, words]) =>
    (request[which] ?? []).flatMap((one) => {
      const group = groupOf(one.of, studio);
      return group === undefined ? [] : [{ which, words, one, name: group.words }];
    }),
  );
  return (
    <div className="stack tight">
      <span className="field-label">Minimum or maximum shares</span>
      {rules.length === 0 ? null : (
        <ul className="set-rules">
          {rules.map(({ which, words, one, name }) => (
            <li key={`${which} ${one.of}`}>
              {words} {percent(one.share)} {name}
              <Button
                kind="quiet"
                aria-label={`Remove ${words} ${percent(one.share)} ${name}`}
                onPress={() =>
                  put(
                    which,
                    (request[which] ?? []).filter((other) => other !== one),
                  )
                }
              >
                Remove
              </Button>
            </li>
          ))}
        </ul>
      )}
      <div className="share-add">
        <Pick label="Limit" value={bound} onChange={setBound} options={BOUNDS} />
        <Pick
          label="How much"
          value={String(share)}
          onChange={(v) => setShare(Number(v))}
          options={SHARES.map((s) => [String(s), percent(s)] as const)}
        />
        <Pick
          label="Of what"
          value=""
          onChange={(of) => (of === '' ? undefined : add(of))}
          options={[['', 'choose'], ...groups]}
        />
        <ClayPicker
          label="Or of one clay"
          value={undefined}
          onChange={(id) => (id === undefined ? undefined : add(`block ${id}`))}
          among={(id) => studio.byBlock.has(id)}
        />
      </div>
    </div>
  );
}
