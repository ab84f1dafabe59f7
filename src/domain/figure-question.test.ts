import { describe, expect, it } from 'vitest';
import { coloursOfFigure, idsOfFigure, questionOfFigure } from './figure-question.ts';
import type { BookRecord } from './records/record.ts';

describe('the question about a figure of the book', () => {
  it('has the shapes with a colour, every mix by its recipe, and the batches that are mixed', () => {
    const of = (id: string) => ({ kind: 'mix', id }) as const;
    const ball = { form: 'ball', diameterMm: 20 } as const;
    const figure = {
      plan: {
        shapes: [
          { name: 'Body', count: 1, shape: ball, of: of('mix-moss') },
          { count: 2, shape: ball },
        ],
        copies: 2,
      },
      batches: [{ of: of('mix-old'), massG: 30 }],
    };
    expect(idsOfFigure(figure)).toEqual(['mix-moss', 'mix-old']);
    const mix = (id: string, name: string) =>
      [id, { id, kind: 'mix', body: { name, basis: 'volume', parts: [] } }] as const;
    const mixes = new Map([mix('mix-moss', 'Sea moss'), mix('mix-old', 'Old weed')]);
    const named = coloursOfFigure(
      idsOfFigure(figure),
      mixes as unknown as Map<string, BookRecord>,
      (id) => id,
    );
    expect(questionOfFigure(figure, named)).toEqual({
      copies: 2,
      shapes: [{ name: 'Body', count: 1, shape: 'ball 20 mm', colour: 'Sea moss' }],
      colours: expect.arrayContaining([{ name: 'Sea moss', basis: 'volume', recipe: [] }]),
      mixed: ['Old weed'],
    });
  });
});
