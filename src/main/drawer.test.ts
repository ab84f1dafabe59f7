import { expect, it } from 'vitest';
import { drawer } from './drawer.ts';

it('leaves out emoji, which no face has, and draws every other letter', async () => {
  const { width } = await drawer();
  const wide = (text: string) => width(text, 12, 'sans');
  expect(wide('Saltmarsh 🐚, 25 %')).toBe(wide('Saltmarsh, 25 %'));
  expect(wide('Näh & Söhne 👩🏽‍🎨')).toBe(wide('Näh & Söhne'));
  expect(wide('© 2026 moss')).toBeGreaterThan(wide('2026 moss'));
});
