import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { CAUTIONS, cautionsFor, LABEL_FIRST } from './cautions.ts';

describe('the safety text', () => {
  it('is the same in the README', () => {
    const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
    const section = readme.slice(readme.indexOf('## Cautions'), readme.indexOf('## More'));
    const items = CAUTIONS.map(({ title, text }) => `- **${title}.** ${text}`);
    expect(section.replaceAll('**', '')).toContain(LABEL_FIRST);
    expect(section.split('\n').filter((line) => line.startsWith('- '))).toEqual(items);
  });

  it('names fumes, blades, dust, kitchen tools, children, toys and local rules', () => {
    const all = CAUTIONS.map(({ text }) => text).join(' ');
    for (const word of ['fumes', 'blades', 'dust', 'food', 'children', 'toy', 'rules']) {
      expect(all).toContain(word);
    }
    expect(cautionsFor('heat')[0].title).toBe('Heat and fumes');
    expect(cautionsFor('powder')[0].title).toBe('Dust');
    expect(
      cautionsFor('strength')
        .map(({ text }) => text)
        .join(' '),
    ).toContain('toy');
  });
});
