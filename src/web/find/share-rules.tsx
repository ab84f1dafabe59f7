import { useState } from 'react';
import { Button } from '../parts/button.tsx';
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

/**
 * At least so much of a strong line, at most so much of a clear one: shares of a line, a sort of clay
 * or one clay, in parts.
 */
export function ShareRules({
  wanted,
  studio,
  onChange,
}: {
  readonly wanted: FindRequest;
  readonly studio: Studio;
  readonly onChange: (wanted: FindRequest) => void;
}) {
  const [bound, setBound] = useState<Bound>('atLeast');
  const [share, setShare] = useState(0.5);
  const sorts = [...new Set(studio.clays.map(({ clayType }) => clayType))].filter(
    (s) => s !== 'opaque',
  );
  const groups = [
    ...studio.lines.map(({ id, name }) => [`line ${id}`, name] as const),
    ...sorts.map((sort) => [`sort ${sort}`, `${sort} clay`] as const),
    ...studio.clays.map(({ blockId, name }) => [`block ${blockId}`, name] as const),
  ];
  const put = (which: Bound, list: readonly RequestShare[]) =>
    onChange(withChange(wanted, { [which]: list }));
  const add = (of: string) => {
    const others = (wanted[bound] ?? []).filter((one) => one.of !== of);
    put(bound, [...others, { of, share }]);
  };
  const kept = BOUNDS.flatMap(([which, words]) =>
    (wanted[which] ?? []).flatMap((one) => {
      const group = groupOf(one.of, studio);
      return group === undefined ? [] : [{ which, words, one, name: group.words }];
    }),
  );
  return (
    <div className="stack tight">
      <span className="field-label">Minimum or maximum shares</span>
      {kept.length === 0 ? null : (
        <ul className="kept-rules">
          {kept.map(({ which, words, one, name }) => (
            <li key={`${which} ${one.of}`}>
              {words} {percent(one.share)} {name}
              <Button
                kind="quiet"
                aria-label={`Not ${words} ${percent(one.share)} ${name}`}
                onPress={() =>
                  put(
                    which,
                    (wanted[which] ?? []).filter((other) => other !== one),
                  )
                }
              >
                Away
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
        <Pick label="Of what" value="" onChange={add} options={[['', 'choose'], ...groups]} />
      </div>
    </div>
  );
}
