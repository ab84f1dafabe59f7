import { z } from 'zod';
import { find } from '../verbs/find.ts';
import { inspect } from '../verbs/inspect.ts';
import { ladder } from '../verbs/ladder.ts';
import { mend } from '../verbs/mend.ts';
import { nextTile } from '../verbs/next-tile.ts';
import { predict } from '../verbs/predict.ts';
import { translate } from '../verbs/translate.ts';
import { tryBalls } from '../verbs/try.ts';
import { askClay, oneClay } from './ask-clay.ts';
import { command } from './command.ts';
import type { Command } from './command-parts.ts';
import { unreadableCall } from './options.ts';
import { onBook } from './shared-options.ts';
import { findJson, findText } from './show-find.ts';
import { inspectedJson, inspectedText } from './show-inspect.ts';
import { ladderJson, ladderText } from './show-ladder.ts';
import { mendJson, mendText } from './show-mend.ts';
import { nextTileJson, nextTileText } from './show-next-tile.ts';
import { predictionJson, predictionText } from './show-predict.ts';
import { translateJson, translateText } from './show-translate.ts';
import { triedJson, triedText } from './show-try.ts';

/** Whether the words of a call fit; what `--book` changes is known only when its options are read. */
function checkClay(
  { operands, options }: { operands: readonly string[]; options: { book: boolean } },
  name: string,
): void {
  const refusal = oneClay(operands, options.book);
  if (refusal !== undefined) throw unreadableCall(refusal, name);
}

/** Commands that ask a clay model. */
export const CLAY_COMMANDS: readonly Command[] = [
  command({
    name: predict.name,
    usage: 'predict CLAY --of RECIPE',
    asks: predict.asks,
    options: z.strictObject({ question: predict.question, ...onBook }),
    json: '{"of", "lab", "cov", "light", "observer", "spectrum": {"start", "step", "values"}, "powders": [{"name", "share"}], "notPredicted", "explanations"}, one line a recipe; cov is the covariance of L, a, b, 3 by 3; powders and notPredicted only where the mix has powders, explanations only where tiles may be wrong',
    after:
      'The Lab is given under --light and --observer. With --book, --of also takes blocks, short names, and mixes by their code or name.\nThe ± is the size of what is not known, in dE00: a tile mixed and baked comes out about that far off.',
    async answer(call, shell) {
      checkClay(call, predict.name);
      const { answer } = await askClay(predict, call, shell);
      const { viewing } = call.options.question;
      return call.json
        ? `${predictionJson(answer, viewing)}\n`
        : predictionText(answer, viewing, shell.screen);
    },
  }),
  command({
    name: find.name,
    usage: 'find CLAY --aim COLOUR',
    asks: find.asks,
    options: z.strictObject({ question: find.question, ...onBook }),
    json: `{"aim", "recipes": [{"parts", "lab", "dE00", "chance", "effects", "rough", "times", "priceMinorPerKg"}],
      "alternatives": [{"reason", ...}], "frontier", "gapReport": {"dE00", "sides", "helps", "insteads", "missing"},
      "preMix": {"instead", "times", "strong", "moves", "first", "preMixParts", "others", "dE00"},
      "unlearned", "tried", "total", "settled", "proven", "endedBy", "explanations", "searchMs"}; chance that it comes out
      within the tolerance, by its ±; frontier are the recipes that none closer beats in clays, parts and
      price alike; settled is the share of all recipes tried or proven worse, endedBy stop or time where
      that is not all; tried and searchMs differ from run to run`,
    after:
      'When nothing comes close enough, the closest are listed all the same, with how they fall short and what would make it a yes. Ctrl-C ends the search with the best so far, and says how much of it was left; Ctrl-C once more ends all. With --book the colour you want may also be a block, or a mix by its code or name.',
    async answer(call, shell) {
      checkClay(call, find.name);
      const { question } = call.options;
      const { answer, workMs } = await askClay(find, call, shell);
      return call.json
        ? `${findJson(answer, workMs)}\n`
        : findText(answer, question, workMs, shell.screen);
    },
  }),
  command({
    name: inspect.name,
    usage: 'inspect CLAY',
    asks: inspect.asks,
    options: z.strictObject({ question: inspect.question, ...onBook }),
    json: `{"madeWith", "basis", "geometry", "light", "observer", "means", "clays": [{"name", "clayClass",
      "group", "tiles", "ownTiles", "readings", "knownFrom", "effect", "lab", "plusMinus", "expectedDE",
      "advice", "colourName", "munsell", "munsellHeld"}], "groups", "report", "explanations"}; docs/formats.md explains the report`,
    async answer(call, shell) {
      checkClay(call, inspect.name);
      const { answer, clay, title } = await askClay(inspect, call, shell);
      return call.json
        ? `${inspectedJson(answer)}\n`
        : inspectedText(answer, clay.file, title, shell.screen);
    },
  }),
  command({
    name: nextTile.name,
    usage: 'next-tile CLAY',
    asks: nextTile.asks,
    options: z.strictObject({ question: nextTile.question, ...onBook }),
    json: `{"of", "expected", "how", "tiles": [{"parts", "before", "after", "tellsOf", "what", "sentence"}],
      "lookAt": [{"tile", "sentence"}], "explanations"};
      how says how to read them; of is all or some; expected, before and after are mean ± in dE00; what is colour, scattering, strength or mix`,
    after: 'A few at a time, with learning between them, teach more than many at once.',
    async answer(call, shell) {
      checkClay(call, nextTile.name);
      const { answer } = await askClay(nextTile, call, shell);
      const { viewing } = call.options.question;
      return call.json ? `${nextTileJson(answer)}\n` : nextTileText(answer, viewing);
    },
  }),
  command({
    name: tryBalls.name,
    usage: 'try CLAY --aim COLOUR',
    asks: tryBalls.asks,
    about:
      'Names three test balls to roll. You say which is closest to the original and how it looks beside it; the next three, or the recipe to keep, come from that. Three rounds more than halve a rough start.',
    options: z.strictObject({ question: tryBalls.question, ...onBook }),
    json: `{"aim", "heard", "waiting", "keep", "same", "balls": [{"parts", "lab"}], "best": {"parts", "lab",
      "expected", "plusMinus", "chance"}, "chosen"}; expected is the mean dE00 from the aim, chance that of a
      match (1.8); chosen are the clays looked at, where there are too many for all`,
    async answer(call, shell) {
      checkClay(call, tryBalls.name);
      const { answer } = await askClay(tryBalls, call, shell);
      const { question } = call.options;
      return call.json
        ? `${triedJson(answer)}\n`
        : triedText(answer, question, shell.screen, call.files.get('verdicts'));
    },
  }),
  command({
    name: mend.name,
    usage: 'mend CLAY --lump RECIPE --aim COLOUR',
    asks: mend.asks,
    about:
      'Names the smallest addition that brings a lump to the colour you want. Nothing is taken out. Bake a chip of the lump first: raw clay looks different.',
    options: z.strictObject({ question: mend.question, ...onBook }),
    json: `{"aim", "lump", "recommended", "additions": [{"add", "recipe", "lab", "cov", "dE00", "chance", "growth",
      "better"}], "leave": {"why"}, "afresh": {"recipe", "lab", "cov", "dE00", "chance", "why"}, "doubt": {"recipe",
      "chance", "sentence"}}; smallest addition first; dE00 is the mean to be expected, chance that of a match
      (1.8), better that of coming closer than the lump is now; leave and afresh are null where they do not hold`,
    async answer(call, shell) {
      checkClay(call, mend.name);
      const { answer } = await askClay(mend, call, shell);
      const { question } = call.options;
      return call.json ? `${mendJson(answer)}\n` : mendText(answer, question, shell.screen);
    },
  }),
  command({
    name: ladder.name,
    usage: 'ladder CLAY --from RECIPE --to RECIPE',
    asks: ladder.asks,
    options: z.strictObject({ question: ladder.question, ...onBook }),
    json: `{"steps": [{"pieces", "parts", "lab", "cov"}], "unevenness", "equalParts", "evenWith", "sheet"}; pieces are those of the
      two mixes, parts those of their clays; unevenness is the largest step over the mean one, equalParts
      the same for pieces that change by equal amounts, evenWith the pieces that an even ladder takes; sheet is the share of the last mix at each tenth of a
      graduated sheet`,
    async answer(call, shell) {
      checkClay(call, ladder.name);
      const { answer } = await askClay(ladder, call, shell);
      const { question } = call.options;
      return call.json ? `${ladderJson(answer)}\n` : ladderText(answer, question, shell.screen);
    },
  }),
  command({
    name: translate.name,
    usage: 'translate CLAY --of RECIPE --lines "A"',
    asks: translate.asks,
    options: z.strictObject({ question: translate.question, ...onBook }),
    json: `{"translated": [{"of", "parts", "wanted", "lab", "dE00", "chance", "verdict"}]}; a mix without a recipe
      has "why" instead; dE00 is between the two predicted colours`,
    after:
      'The new recipe is the one that find gives for the predicted colour. Lines are those of the book, or of the file named with --stock.',
    async answer(call, shell) {
      checkClay(call, translate.name);
      const { answer } = await askClay(translate, call, shell);
      const { question } = call.options;
      return call.json
        ? `${translateJson(answer)}\n`
        : translateText(answer, question, shell.screen);
    },
  }),
];
