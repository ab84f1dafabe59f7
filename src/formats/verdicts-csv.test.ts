import { describe, expect, it } from 'vitest';
import { readVerdictsCsv } from './verdicts-csv.ts';

const read = (text: string) => readVerdictsCsv(new TextEncoder().encode(text), 'eye.csv');

describe('a file of verdicts', () => {
  it('reads words with any of the usual marks between, and other separators', () => {
    const rows = read('trial;A;B;nearest;how\n1;Kelp;Foam;b;lighter and BLUER');
    expect(rows[0].verdict).toEqual({ nearest: 1, how: ['lighter', 'bluer'] });
    expect(rows[0].balls).toHaveLength(2);
    expect(rows[0].place).toEqual({ file: 'eye.csv', line: 2 });
  });

  it('reads how much of a word, and refuses it without its word', () => {
    const rows = read(
      'trial;A;B;nearest;how\n1;Kelp;Foam;A;slightly lighter, far duller and bluer',
    );
    expect(rows[0].verdict).toEqual({
      nearest: 0,
      how: ['lighter', 'duller', 'bluer'],
      much: { lighter: 'slightly', duller: 'far' },
    });
    for (const how of ['far', 'far far duller', 'slightly same', 'lighter far']) {
      expect(() => read(`trial,A,B,nearest,how\n1,Kelp,Foam,A,${how}\n`)).toThrow('before a word');
    }
  });

  it.each([
    ['trial,A,B\n1,Kelp,Foam\n', 'a column "nearest"'],
    ['trial,A,A,nearest\n1,Kelp,Foam,A\n', 'line 1, column 3: found "A"'],
    ['trial,A,B,nearest,finder\n1,Kelp,Foam,A,x\n', 'column 5: found "finder"'],
    ['trial,A,B,nearest\n1,Kelp,Foam,C\n', 'found "C", expected A, B or none'],
    ['trial,A,B,nearest\n1,Kelp\n', '2 cells'],
    ['trial,A,B,nearest\n1,,,A\n', 'no ball'],
    ['trial,A,B,nearest\n1,Kelp +,Foam,A\n', 'line 2, column 2 (A)'],
    [
      'trial,A,B,nearest\n1,Kelp,Foam,\n2,Kelp,Foam,A\n',
      'line 2, column 4 (nearest): found nothing',
    ],
    ['trial,A,B,nearest,how\n1,Kelp,Foam,,lighter\n', 'found nothing, expected A, B, C or none'],
    ['trial,A,B,nearest,how\n1,Kelp,Foam,A,paler\n', 'found "paler", expected lighter, darker'],
    [`trial,A,nearest\n${'1,Kelp,A\n'.repeat(51)}`, '51 rows'],
  ])('%j is refused with its place', (text, message) => {
    expect(() => read(text)).toThrow(message);
  });
});
