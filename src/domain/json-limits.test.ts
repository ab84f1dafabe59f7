import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type JsonLimits, jsonProblem } from './json-limits.ts';

const LIMITS: JsonLimits = { depth: 4, fields: 3, items: 5, values: 20 };

interface Counted {
  depth: number;
  fields: number;
  items: number;
  values: number;
}

/** The slow plain way, over what was parsed. */
function counted(value: unknown): Counted {
  if (typeof value !== 'object' || value === null)
    return { depth: 0, fields: 0, items: 0, values: 1 };
  const inner = Object.values(value).map(counted);
  const most = (name: keyof Counted) => Math.max(0, ...inner.map((one) => one[name]));
  const own = inner.length;
  const isList = Array.isArray(value);
  return {
    depth: 1 + most('depth'),
    fields: Math.max(isList ? 0 : own, most('fields')),
    items: Math.max(isList ? own : 0, most('items')),
    // An empty list counts like one with a value in it.
    values:
      1 +
      Math.max(
        1,
        inner.reduce((sum, one) => sum + one.values, 0),
      ),
  };
}

it('finds in a text what counting the parsed value finds', () => {
  let refused = 0;
  const any = fc.letrec((tie) => ({
    value: fc.oneof(
      { depthSize: 'small' },
      fc.constantFrom(0, 'a', '[{,:"\\', '\\"', '\\\\', '', true, null),
      fc.array(tie('value'), { maxLength: 7 }),
      fc.dictionary(fc.constantFrom('a', 'b"', '[c', '{d', 'e\\'), tie('value')),
    ),
  })).value;
  fc.assert(
    fc.property(any, fc.boolean(), (value, spaced) => {
      const found = jsonProblem(JSON.stringify(value, undefined, spaced ? 1 : 0), LIMITS);
      const { depth, fields, items, values } = counted(value);
      const tooMuch =
        depth > LIMITS.depth ||
        fields > LIMITS.fields ||
        items > LIMITS.items ||
        values > LIMITS.values;
      if (tooMuch) refused++;
      expect(found !== undefined).toBe(tooMuch);
    }),
    { seed: 17, numRuns: 1000 },
  );
  expect(refused).toBeGreaterThan(200);
});

it('lets a text that is no JSON pass, for the parser to refuse', () => {
  for (const text of ['', '"', '"\\', ']', '}}', ',,,', '[', '{"a":']) {
    expect(jsonProblem(text, LIMITS)).toBeUndefined();
  }
});
