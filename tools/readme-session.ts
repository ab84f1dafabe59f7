/**
 * Writes the program's current answers under the commands of README.md. Read the difference before
 * you commit it: a changed answer needs a reason.
 * Run:     npx tsx tools/readme-session.ts
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { README, readmeSession } from '../test/journeys/readme-session.ts';

let text = readFileSync(README, 'utf8');
for (const { block, command, said } of readmeSession()) {
  text = text.replace(block, () => `\`\`\`console\n$ ${command}\n${said}\`\`\``);
}
writeFileSync(README, text);
