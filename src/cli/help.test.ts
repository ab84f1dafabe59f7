import { expect, it } from 'vitest';
import { helpOf } from './help.ts';

it('starts the first line of a table where its other lines start', () => {
  const about = '\n  add line name=Saltmarsh   a line\n  add block name=Kelp       a block\n';
  const help = helpOf({ usage: 'add WHAT', asks: 'Saves something', about }, []);
  expect(help).toContain('\n\n  add line name=Saltmarsh   a line\n  add block name=Kelp');
});
