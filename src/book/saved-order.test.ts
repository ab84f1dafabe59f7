import fc from 'fast-check';
import { expect, it } from 'vitest';
import { savedOrder } from './saved-order.ts';

const name = fc.constantFrom('kelp', 'moss', 'foam', 'sand', undefined);

it('stays what sorting everything again would give, however things come, change and go', () => {
  const change = fc.array(fc.tuple(fc.nat(30), name), { minLength: 1, maxLength: 8 });
  fc.assert(
    fc.property(fc.array(change, { maxLength: 20 }), (changes) => {
      const names: (string | undefined)[] = ['sand', 'foam', 'foam'];
      const compare = (one: number, other: number) =>
        names[one]! < names[other]! ? -1 : names[one]! > names[other]! ? 1 : one - other;
      const belongs = (number: number) => names[number] !== undefined;
      const order = savedOrder({ size: () => names.length, belongs, compare });
      for (const some of changes) {
        for (const [number, to] of some) names[number] = to;
        order.touch(some.map(([number]) => number));
        const plain = Array.from(names.keys()).filter(belongs).sort(compare);
        expect(order.all()).toEqual(plain);
      }
    }),
    { seed: 3107, numRuns: 300 },
  );
});
