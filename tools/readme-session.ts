/**
 * Writes the program's current answers under the commands of README.md and its second page. Read the
 * difference before you commit it: a changed answer needs a reason.
 * Run:     npx tsx tools/readme-session.ts [README.md | docs/a-figure.md]
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { A_FIGURE, figureSession, README, readmeSession } from '../test/journeys/readme-session.ts';

const only = process.argv[2] ?? '';
for (const [page, session] of [
  [README, readmeSession],
  [A_FIGURE, figureSession],
] as const) {
  if (!page.endsWith(only)) continue;
  let text = readFileSync(page, 'utf8');
  for (const { block, command, said } of session()) {
    text = text.replace(block, () => `\`\`\`console\n$ ${command}\n${said}\`\`\``);
  }
  writeFileSync(page, text);
}
