// Prints the old words left in the program, its tests and its documents.
//   npx tsx tools/words.ts            every place
//   npx tsx tools/words.ts --count    how many by room
//   npx tsx tools/words.ts --names    exported names that more than one file defines
import { oldWordsFound, sharedExports } from './words-found.ts';

const [option] = process.argv.slice(2);
if (option === '--names') {
  for (const [name, files] of sharedExports()) console.log(`${name}: ${files.join(', ')}`);
} else {
  const found = oldWordsFound();
  if (option === '--count') {
    const counts = new Map<string, number>();
    for (const { room } of found) counts.set(room, (counts.get(room) ?? 0) + 1);
    for (const [room, count] of counts) console.log(`${room}: ${count}`);
    console.log(`in all: ${found.length}`);
  } else {
    for (const { path, line, kind, word, instead, text } of found)
      console.log(`${path}:${line} ${kind} "${word}" (${instead}): ${text}`);
  }
}
