import { LABEL_FIRST } from '../domain/cautions.ts';
import type { BakeAnswer } from '../verbs/bake.ts';
import type { HoldAnswer } from '../verbs/hold.ts';
import { plain } from './terminal-output.ts';

export function holdText({
  part,
  strain,
  tests,
  pair,
  sentences,
  prior,
  cautions,
}: HoldAnswer): string {
  const of = pair === undefined ? '' : ` of ${pair.strong} and ${pair.other}`;
  const count = tests === 1 ? '1 bend test' : `${tests} bend tests`;
  return textOf([
    'Will this part hold?',
    '',
    `  ${part}: a stretch of ${(100 * strain).toFixed(2)} % at the surface. ${count}${of}.`,
    '',
    ...listed(sentences),
    '',
    prior,
    ...cautionLines(cautions),
  ]);
}

export function bakeText({ sentences, cautions }: BakeAnswer): string {
  return textOf(['How hot, and how long?', '', ...listed(sentences), ...cautionLines(cautions)]);
}

/** The label stands once, with the cautions. */
function listed(sentences: readonly string[]): string[] {
  return sentences.filter((one) => one !== LABEL_FIRST).map((one) => `  ${one}`);
}

function cautionLines(cautions: readonly { readonly title: string; readonly text: string }[]) {
  return ['', LABEL_FIRST, ...cautions.map(({ title, text }) => `${title}. ${text}`)];
}

function textOf(lines: readonly string[]): string {
  return `${lines.map(plain).join('\n')}\n`;
}
