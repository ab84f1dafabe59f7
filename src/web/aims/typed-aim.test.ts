import { describe, expect, it } from 'vitest';
import { labFromHex } from '../../core/colour/display.ts';
import { labFromMunsell } from '../../core/colour/munsell.ts';
import { parseMunsell } from '../../core/colour/munsell-notation.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { typedAim } from './typed-aim.ts';

async function labOf(text: string): Promise<Lab> {
  const typed = await typedAim(text);
  if ('no' in typed) throw new Error(`${text}: ${typed.no}`);
  return typed.lab;
}

async function noOf(text: string): Promise<string> {
  const typed = await typedAim(text);
  return 'no' in typed ? typed.no : `taken as ${typed.words}`;
}

describe('a colour as people write it', () => {
  it.each(['#8a3b2c', '8A3B2C', '  #8a3b2c  ', 'rgb(138, 59, 44)', 'RGB 138 59 44'])(
    'is a screen code: %s',
    async (text) => {
      const lab = await labOf(text);
      labFromHex('#8a3b2c').forEach((v, i) => {
        expect(lab[i]).toBeCloseTo(v, 9);
      });
    },
  );

  it.each([
    '52 -18 22',
    '52,-18,22',
    '52; -18; 22',
    '52, −18, 22',
    'L* 52 a* -18 b* 22',
    'L=52, a=-18, b=22',
    'L:52 a:-18 b:22',
    'lab(52 -18 22)',
    'lab(52% -18 22)',
    'CIELAB 52 / -18 / 22',
    '52.0\t-18.0\t22.0',
  ])('is L* a* b*: %s', async (text) => {
    expect(await labOf(text)).toEqual([52, -18, 22]);
  });

  it('has decimals with a comma or a point', async () => {
    expect(await labOf('52,5 -18,25 22,1')).toEqual([52.5, -18.25, 22.1]);
    expect(await labOf('52.5 -18.25 22.1')).toEqual([52.5, -18.25, 22.1]);
  });

  it.each(['5GY 5/4', '5gy5/4', '5 GY 5 / 4', '5,0GY 5,0/4,0'])(
    'is a Munsell colour: %s',
    async (text) => {
      const found = labFromMunsell(parseMunsell('5GY 5/4'));
      expect(found.held).toBe(true);
      expect(await labOf(text)).toEqual(found.held ? found.lab : undefined);
    },
  );

  it.each([
    ['', 'Type a colour first.'],
    ['   ', 'Type a colour first.'],
    ['120 0 0', 'L* goes from 0 (black) to 100 (white).'],
    ['50 999 0', 'a* and b* go from -150 to 150.'],
    ['rgb(300, 0, 0)', 'Screen colours go from 0 to 255.'],
    ['5GY 5/40', 'No surface has that much chroma at this value. Type less chroma.'],
    ['greenish', 'Type #8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4.'],
    ['#12345', 'Type #8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4.'],
    ['52 -18', 'Type #8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4.'],
  ])('is answered kindly where it is none yet: "%s"', async (text, no) => {
    expect(await noOf(text)).toBe(no);
  });
});
