import { expect, it } from 'vitest';
import { purchaseSteps } from './record-purchase.ts';

it('puts the packages of a purchase into the stock, where their weight is known', () => {
  const body = { lineId: 'salt', name: 'Kelp', clayType: 'opaque', status: 'current' } as const;
  const ask = (packageG?: number) =>
    purchaseSteps({
      block: { id: 'kelp', body: { ...body, ...(packageG === undefined ? {} : { packageG }) } },
      purchase: { boughtOn: '2026-01-31', packages: 2, reformulated: false },
      newId: () => 'p1',
    });
  expect(ask(57)).toMatchObject([
    { kind: 'purchase', id: 'p1', body: { of: { kind: 'block', id: 'kelp' }, packages: 2 } },
    {
      kind: 'stock-entry',
      body: { purchaseId: 'p1', on: '2026-01-31', why: 'bought', changeG: 114 },
    },
  ]);
  expect(ask()).toHaveLength(1);
});
