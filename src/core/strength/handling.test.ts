import { describe, expect, it } from 'vitest';
import { type HandlingNote, handlingInWords, handlingOfPairs } from './handling.ts';

function note(
  shares: Readonly<Record<string, number>>,
  feels: readonly string[],
  ...done: HandlingNote['done']
): HandlingNote {
  return { shares: Object.entries(shares).map(([line, share]) => ({ line, share })), feels, done };
}

const NOTES: readonly HandlingNote[] = [
  note({ Saltmarsh: 0.5, Brindle: 0.5 }, ['sticky'], { what: 'rested', helped: true }),
  note(
    { Brindle: 0.4, Saltmarsh: 0.6 },
    ['sticky', 'soft'],
    { what: 'rested', helped: true },
    { what: 'chilled', helped: false },
  ),
  note({ Saltmarsh: 0.5, Brindle: 0.5 }, [], { what: 'rested' }),
  note({ Saltmarsh: 0.8, Brindle: 0.2 }, ['sticky']),
  note({ Lantern: 0.5, Brindle: 0.5 }, ['crumbly']),
];

describe('how two lines handle in near equal shares', () => {
  it('counts the notes of each pair, the stickiest first, and what helped', () => {
    const [first, second, ...more] = handlingOfPairs(NOTES);
    expect(first).toEqual({
      lines: ['Brindle', 'Saltmarsh'],
      notes: 3,
      felt: { soft: 1, sticky: 2, crumbly: 0 },
      helped: [
        { what: 'rested', helped: 2, tried: 2 },
        { what: 'chilled', helped: 0, tried: 1 },
      ],
    });
    expect(second.lines).toEqual(['Brindle', 'Lantern']);
    expect(more).toEqual([]);
  });

  it('says so in words', () => {
    const [first, second] = handlingOfPairs(NOTES).map(handlingInWords);
    expect(first).toBe(
      'Brindle and Saltmarsh in near equal shares: soft in 1 of 3 notes, sticky in 2 of 3 notes. Rested: helped 2 of 2 times. Chilled: helped 0 of 1 time.',
    );
    expect(second).toContain('crumbly in 1 of 1 note.');
    expect(handlingOfPairs([])).toEqual([]);
  });
});
