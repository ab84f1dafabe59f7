import { describe, expect, it } from 'vitest';
import type { Relaxation } from '../../core/find/gap-report.ts';
import { FIRST_REQUEST, type FindRequest, isFindRequest, withChange } from './find-request.ts';
import { findRequestInWords } from './find-request-in-words.ts';
import { askOf } from './question-from-request.ts';
import { relaxed } from './relaxations.ts';
import type { Studio, StudioClay } from './studio.ts';

const clay = (blockId: string, lineId: string, clayType: StudioClay['clayType'], clay: number) => ({
  blockId,
  clay,
  name: blockId.charAt(0).toUpperCase() + blockId.slice(1),
  lineId,
  line: lineId.charAt(0).toUpperCase() + lineId.slice(1),
  clayType,
  onHandG: 60,
  isSold: true,
  looksDifferent: false,
});
const CLAYS: readonly StudioClay[] = [
  clay('foam', 'saltmarsh', 'opaque', 0),
  clay('kelp', 'saltmarsh', 'opaque', 1),
  clay('urchin', 'brindle', 'opaque', 2),
  clay('nacre', 'lantern', 'pearl', 4),
];
/** Clay 3 of the open clays is a block the book holds no more. */
const STUDIO: Studio = {
  clays: CLAYS,
  byBlock: new Map(CLAYS.map((one) => [one.blockId, one])),
  byName: new Map(CLAYS.map((one) => [one.name, one])),
  names: ['Foam', 'Kelp', 'Urchin', 'the former Whelk', 'Nacre'],
  lines: ['saltmarsh', 'brindle', 'lantern'].map((id) => ({
    id,
    name: id.charAt(0).toUpperCase() + id.slice(1),
  })),
  stock: [],
  colourless: [],
  lights: [],
  isPending: false,
};
const AIM = { lab: [52, -18, 22] as const, words: 'Sea moss' };
const ALL: FindRequest = {
  aim: AIM,
  tolerance: 3.5,
  mostClays: 2,
  parts: 8,
  without: ['urchin'],
  lines: ['saltmarsh', 'brindle'],
  must: ['kelp'],
  mostLines: 1,
  atLeast: [{ of: 'line saltmarsh', share: 0.5 }],
  atMost: [
    { of: 'clayType pearl', share: 0 },
    { of: 'block kelp', share: 0.9 },
  ],
  halfPart: 1.8,
  batchG: 40,
  withinStock: true,
  lights: ['A'],
  relax: 'hue',
};

describe('a block mixed from the others', () => {
  const request = { ...FIRST_REQUEST, must: ['kelp', 'foam'], aim: { ...AIM, blockId: 'kelp' } };

  it('is in no recipe for its own colour', () => {
    const { usable, question } = askOf(request, STUDIO)!;
    expect(usable).toEqual([0, 2, 4]);
    expect(question.rules?.must).toEqual(['Foam']);
    expect(findRequestInWords(request, STUDIO)).toMatch(/^From 3 of 4 clays/);
  });

  it('may be used again for the next colour', () => {
    expect(askOf({ ...request, aim: AIM }, STUDIO)!.usable).toEqual([0, 1, 2, 4]);
  });
});

describe('what a device kept of a question', () => {
  it('is taken as it was kept', () => {
    for (const request of [FIRST_REQUEST, ALL]) {
      expect(isFindRequest(JSON.parse(JSON.stringify(request)))).toBe(true);
    }
  });

  it.each([
    ['nothing', null],
    ['a word', 'find'],
    ['no list of what is left out', { ...FIRST_REQUEST, without: 'kelp' }],
    ['a part too many', { ...FIRST_REQUEST, parts: 1e9 }],
    ['a number that is none', { ...FIRST_REQUEST, tolerance: Number.NaN }],
    ['a light nobody offered', { ...FIRST_REQUEST, lights: ['candle'] }],
    ['a share past the whole', { ...FIRST_REQUEST, atMost: [{ of: 'clayType pearl', share: 2 }] }],
    ['an aim without a colour', { ...FIRST_REQUEST, aim: { words: 'green' } }],
    ['an aim that is no colour', { ...FIRST_REQUEST, aim: { words: 'green', lab: [1, 2, 'x'] } }],
    ['something else to give up', { ...FIRST_REQUEST, relax: 'time' }],
  ])('is left where it holds %s', (_, kept) => {
    expect(isFindRequest(kept)).toBe(false);
  });
});

describe('a request to find recipes', () => {
  it('is asked in the words of the clays, of those the book holds', () => {
    const { question, names, usable } = askOf(ALL, STUDIO)!;
    expect(usable).toEqual([0, 1, 2, 4]);
    expect(names[3]).toBe('the former Whelk');
    expect(question.rules).toEqual({
      without: ['Urchin'],
      must: ['Kelp'],
      lines: ['Saltmarsh', 'Brindle'],
      mostLines: 1,
      atLeast: [{ of: 'Saltmarsh', share: 0.5, clays: ['Foam', 'Kelp'] }],
      atMost: [
        { of: 'pearl', share: 0, clays: ['Nacre'] },
        { of: 'Kelp', share: 0.9, clays: ['Kelp'] },
      ],
      halfPart: 1.8,
      batchG: 40,
    });
    expect(question.otherLights).toEqual(['A']);
    expect(question.relax).toBe('hue');
  });

  it('says nothing of clays and lines that are gone, and is not asked without an aim', () => {
    const gone: FindRequest = {
      ...FIRST_REQUEST,
      aim: AIM,
      without: ['gone'],
      must: ['gone'],
      lines: ['gone'],
      atLeast: [{ of: 'line gone', share: 0.5 }],
      batchG: 40,
    };
    expect(askOf(gone, STUDIO)?.question.rules).toEqual({});
    expect(askOf(FIRST_REQUEST, STUDIO)).toBeUndefined();
  });

  it('is judged under the lights of Settings where nothing else is said', () => {
    const studio: Studio = { ...STUDIO, lights: ['LED-B3'] };
    const request: FindRequest = { ...FIRST_REQUEST, aim: AIM };
    const lightsOf = (one: FindRequest) => askOf(one, studio)?.question.otherLights;
    expect(lightsOf(request)).toEqual(['LED-B3']);
    expect(lightsOf({ ...request, lights: ['A'] })).toEqual(['A']);
    expect(lightsOf(withChange(request, { lights: [] }))).toBeUndefined();
    expect(findRequestInWords(request, studio)).toContain('also under a white LED');
  });

  it('is one sentence to be read at a glance', () => {
    expect(findRequestInWords(FIRST_REQUEST, STUDIO)).toBe(
      'From all 4 clays, at most 4 per recipe, up to 12 parts. Close enough means a match.',
    );
    expect(findRequestInWords({ ...FIRST_REQUEST, lines: ['saltmarsh'] }, STUDIO)).toBe(
      'From 2 Saltmarsh clays, at most 4 per recipe, up to 12 parts. Close enough means a match.',
    );
    expect(findRequestInWords(ALL, STUDIO)).toBe(
      'From 2 Saltmarsh clays, at most 2 per recipe, up to 8 parts; always with Kelp; one line in a recipe; at least 50 % Saltmarsh; no pearl; at most 90 % Kelp; uneven pieces tolerated; enough in stock for 40 g; also under a warm lamp; a different hue is accepted. Close enough means close.',
    );
  });

  it('forgets what is set to nothing', () => {
    expect(withChange(ALL, { must: [], lines: undefined })).not.toHaveProperty('must');
    expect(withChange(ALL, { must: [], lines: undefined })).not.toHaveProperty('lines');
    expect(withChange(ALL, { without: [] }).without).toEqual([]);
  });
});

describe('a help that is tried', () => {
  const help = (kind: Relaxation['kind'], more: Partial<Relaxation> = {}): Relaxation => ({
    kind,
    recipe: [],
    dE00: 1,
    shown: [50, 0, 0],
    ...more,
  });
  const rulesAfter = (one: Relaxation) => askOf(relaxed(ALL, one, STUDIO), STUDIO)?.question;

  it.each(['without', 'lines', 'must', 'mostLines', 'halfPart', 'batchG'] as const)(
    'takes away the rule it names and no other: %s',
    (kind) => {
      const { [kind]: _, ...others } = askOf(ALL, STUDIO)!.question.rules!;
      expect(rulesAfter(help(kind))?.rules).toEqual(others);
    },
  );

  it('takes away one share of several', () => {
    const rules = rulesAfter(help('atMost', { of: 'pearl' }))?.rules;
    expect(rules?.atMost?.map(({ of }) => of)).toEqual(['Kelp']);
    expect(rulesAfter(help('atLeast', { of: 'Saltmarsh' }))?.rules).not.toHaveProperty('atLeast');
  });

  it('widens parts and clays to what was tried', () => {
    expect(rulesAfter(help('parts', { value: 16 }))?.parts).toBe(16);
    expect(rulesAfter(help('clays', { value: 3 }))?.mostClays).toBe(3);
  });
});
