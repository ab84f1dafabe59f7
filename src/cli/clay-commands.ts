import type { z } from 'zod';
import { buyOrMix } from '../verbs/buy-or-mix.ts';
import { buyingList } from '../verbs/buying-list.ts';
import { chart } from '../verbs/chart.ts';
import { checkNames } from '../verbs/check-names.ts';
import { compareLines } from '../verbs/compare-lines.ts';
import { figure } from '../verbs/figure.ts';
import { find } from '../verbs/find.ts';
import { inspect } from '../verbs/inspect.ts';
import { ladder } from '../verbs/ladder.ts';
import { mend } from '../verbs/mend.ts';
import { newLot } from '../verbs/new-lot.ts';
import { nextTile } from '../verbs/next-tile.ts';
import type { OpenClay } from '../verbs/open-clay.ts';
import { predict } from '../verbs/predict.ts';
import { translate } from '../verbs/translate.ts';
import { tryBalls } from '../verbs/try.ts';
import { twins } from '../verbs/twins.ts';
import type { Verb } from '../verbs/verb.ts';
import type { ClayVerbName } from '../verbs/verbs.ts';
import { widen } from '../verbs/widen.ts';
import { askClay, type ClayAnswer, oneClay } from './ask-clay.ts';
import type { Call, Command } from './command-parts.ts';
import { unreadableCall } from './options.ts';
import { questionCommand, withBook } from './question-command.ts';
import { buyOrMixJson, buyOrMixText } from './show-buy-or-mix.ts';
import { buyingListJson, buyingListText } from './show-buying-list.ts';
import { chartJson, chartText } from './show-chart.ts';
import { checkNamesText } from './show-check-names.ts';
import { compareLinesText } from './show-compare-lines.ts';
import { figureJson, figureText } from './show-figure.ts';
import { findJson, findText } from './show-find.ts';
import { inspectedJson, inspectedText } from './show-inspect.ts';
import { ladderJson, ladderText } from './show-ladder.ts';
import { mendJson, mendText } from './show-mend.ts';
import { newLotJson, newLotText } from './show-new-lot.ts';
import { nextTileJson, nextTileText } from './show-next-tile.ts';
import { predictionJson, predictionText } from './show-predict.ts';
import { translateJson, translateText } from './show-translate.ts';
import { triedJson, triedText } from './show-try.ts';
import { twinsJson, twinsText } from './show-twins.ts';
import { widenText } from './show-widen.ts';
import type { Screen } from './terminal-output.ts';

/** An answer with what was asked, as it is shown. */
interface Shown<Q, A> extends ClayAnswer<A> {
  readonly question: Q;
  readonly screen: Screen;
  readonly files: Call<unknown>['files'];
}

interface ClayCommand<Q extends z.ZodObject, A>
  extends Pick<
    Parameters<typeof questionCommand<z.output<Q>, Shown<z.output<Q>, A>>>[0],
    'options' | 'usage' | 'about' | 'after' | 'json' | 'toJson' | 'toText'
  > {
  /** Fields of the answer with --json. */
  readonly json: string;
}

/** A command that asks a clay model the question of a verb. */
function clayCommand<Q extends z.ZodObject, A>(
  verb: Verb<ClayVerbName, OpenClay, Q, A>,
  parts: ClayCommand<Q, A>,
): Command {
  return questionCommand({
    ...parts,
    name: verb.name,
    asks: verb.asks,
    async answered(call, shell) {
      // What --book changes is known only when the options are read.
      const refusal = oneClay(call.operands, call.options.book);
      if (refusal !== undefined) throw unreadableCall(refusal, verb.name);
      const { question } = call.options;
      const answer = await askClay(verb, call, shell);
      return { ...answer, question, screen: shell.screen, files: call.files };
    },
  });
}

/** Commands that ask a clay model. */
export const CLAY_COMMANDS: readonly Command[] = [
  clayCommand(predict, {
    options: withBook(predict.question),
    usage: 'predict CLAY --of RECIPE',
    json: '{"of", "lab", "cov", "light", "observer", "spectrum": {"start", "step", "values"}, "powders": [{"name", "share"}], "notPredicted", "explanations"}, one line a recipe; cov is the covariance of L, a, b, 3 by 3; powders and notPredicted only where the mix has powders, explanations only where tiles may be wrong',
    after:
      'The Lab is given under --light and --observer. With --book, --of also takes blocks, short names, and mixes by their code or name.\nThe ± is the size of what is not known, in dE00: a tile mixed and baked comes out about that far off.',
    toJson: ({ answer, question }) => predictionJson(answer, question.viewing),
    toText: ({ answer, question, screen }) => predictionText(answer, question.viewing, screen),
  }),
  clayCommand(find, {
    options: withBook(find.question),
    usage: 'find CLAY --aim COLOUR',
    json: `{"aim", "recipes": [{"parts", "lab", "dE00", "chance", "effects", "rough", "times", "priceMinorPerKg"}],
      "alternatives": [{"reason", ...}], "frontier", "gapReport": {"dE00", "sides", "helps", "insteads", "missing"},
      "preMix": {"instead", "times", "strong", "moves", "first", "preMixParts", "others", "dE00"},
      "unlearned", "tried", "total", "settled", "proven", "endedBy", "explanations", "searchMs"}; chance that it comes out
      within the tolerance, by its ±; frontier are the recipes that none closer beats in clays, parts and
      price alike; settled is the share of all recipes tried or proven worse, endedBy stop or time where
      that is not all; tried and searchMs differ from run to run`,
    after:
      'When nothing comes close enough, the closest are listed all the same, with how they fall short and what would make it a yes. Ctrl-C ends the search with the best so far, and says how much of it was left; Ctrl-C once more ends all. With --book the colour you want may also be a block, or a mix by its code or name.',
    toJson: ({ answer, workMs }) => findJson(answer, workMs),
    toText: ({ answer, question, workMs, screen }) => findText(answer, question, workMs, screen),
  }),
  clayCommand(inspect, {
    options: withBook(inspect.question),
    usage: 'inspect CLAY',
    json: `{"madeWith", "basis", "geometry", "light", "observer", "means", "clays": [{"name", "clayClass",
      "group", "tiles", "ownTiles", "readings", "knownFrom", "effect", "lab", "plusMinus", "expectedDE",
      "advice", "colourName", "munsell", "munsellHeld"}], "groups", "report", "explanations"}; docs/formats.md explains the report`,
    toJson: ({ answer }) => inspectedJson(answer),
    toText: ({ answer, clay, title, screen }) => inspectedText(answer, clay.file, title, screen),
  }),
  clayCommand(nextTile, {
    options: withBook(nextTile.question),
    usage: 'next-tile CLAY',
    json: `{"of", "expected", "how", "tiles": [{"parts", "before", "after", "tellsOf", "what", "sentence"}],
      "lookAt": [{"tile", "sentence"}], "explanations"};
      how says how to read them; of is all or some; expected, before and after are mean ± in dE00; what is colour, scattering, strength or mix`,
    after: 'A few at a time, with learning between them, teach more than many at once.',
    toJson: ({ answer }) => nextTileJson(answer),
    toText: ({ answer, question }) => nextTileText(answer, question.viewing),
  }),
  clayCommand(tryBalls, {
    options: withBook(tryBalls.question),
    usage: 'try CLAY --aim COLOUR',
    about:
      'Names three test balls to roll. You say which is closest to the original and how it looks beside it; the next three, or the recipe to keep, come from that. Three rounds more than halve a rough start.',
    json: `{"aim", "heard", "waiting", "keep", "same", "balls": [{"parts", "lab"}], "best": {"parts", "lab",
      "expected", "plusMinus", "chance"}, "chosen"}; expected is the mean dE00 from the aim, chance that of a
      match (1.8); chosen are the clays looked at, where there are too many for all`,
    toJson: ({ answer }) => triedJson(answer),
    toText: ({ answer, question, screen, files }) =>
      triedText(answer, question, screen, files.get('verdicts')),
  }),
  clayCommand(mend, {
    options: withBook(mend.question),
    usage: 'mend CLAY --lump RECIPE --aim COLOUR',
    about:
      'Names the smallest addition that brings a lump to the colour you want. Nothing is taken out. Bake a chip of the lump first: raw clay looks different.',
    json: `{"aim", "lump", "recommended", "additions": [{"add", "recipe", "lab", "cov", "dE00", "chance", "growth",
      "better"}], "leave": {"why"}, "afresh": {"recipe", "lab", "cov", "dE00", "chance", "why"}, "doubt": {"recipe",
      "chance", "sentence"}, "note"}; smallest addition first; dE00 is the mean to be expected, chance that of a match
      (1.8), better that of coming closer than the lump is now; leave and afresh are null where they do not hold;
      note says how a raw colour was taken`,
    toJson: ({ answer }) => mendJson(answer),
    toText: ({ answer, question, screen }) => mendText(answer, question, screen),
  }),
  clayCommand(ladder, {
    options: withBook(ladder.question),
    usage: 'ladder CLAY --from RECIPE --to RECIPE',
    json: `{"steps": [{"pieces", "parts", "lab", "cov"}], "unevenness", "equalParts", "evenWith", "sheet"}; pieces are those of the
      two mixes, parts those of their clays; unevenness is the largest step over the mean one, equalParts
      the same for pieces that change by equal amounts (absent with --ratios), evenWith the pieces that an even ladder takes; sheet is
      {"sideMm", "cut": [{"acrossMm", "firstMm"}], "off"}: how far the first mix reaches along a square slab at
      points across, and the most that the sheet is off an even one, dE00`,
    toJson: ({ answer }) => ladderJson(answer),
    toText: ({ answer, question, screen }) => ladderText(answer, question, screen),
  }),
  clayCommand(chart, {
    options: withBook(chart.question),
    usage: 'chart CLAY',
    json: `{"rows": [{"kind", "of", "cells": [{"parts", "lab", "cov", "read"}]}]}; kind is alone, white, black,
      translucent, clay or grid; read is the mean colour of its baked tiles (D50, 2 degrees), null until one was
      read`,
    after:
      'Lists the tiles of a chart: each clay alone, with white, black and translucent clay, and with each other clay of its line. Lines are those of the book, or of the file named with --stock.',
    toJson: ({ answer }) => chartJson(answer),
    toText: ({ answer, question, screen }) => chartText(answer, question, screen),
  }),
  clayCommand(translate, {
    options: withBook(translate.question),
    usage: 'translate CLAY --of RECIPE --lines "A"',
    json: `{"translated": [{"of", "parts", "wanted", "lab", "dE00", "plusMinus", "expected", "chance", "verdict",
      "hint": {"looks", "add"}}]}; a mix without a recipe has "why" instead; dE00 is between the two predicted
      colours, plusMinus how far that may be off, expected both together; where the new mix looks as hint says, a
      crumb of that clay leads back; hint is null where no clay does`,
    after:
      'The new recipe is the one that find gives for the predicted colour. Lines are those of the book, or of the file named with --stock.',
    toJson: ({ answer }) => translateJson(answer),
    toText: ({ answer, question, screen }) => translateText(answer, question, screen),
  }),
  clayCommand(checkNames, {
    options: withBook(checkNames.question),
    usage: 'check-names CLAY --readings FILE',
    json: `{"tiles": [{"tile", "lab", "predicted": {"lab", "plusMinus", "dE00", "chance", "isDoubtful"}}], "better":
      {"kind": "shift", "from", "by"} or {"kind": "exchange", "one", "other"}}; predicted is null where a clay of the
      recipe is not known, better where no other order of the names fits clearly better; places count from 0`,
    after: 'Nothing is changed. The order of the rows is the order of the tray.',
    toJson: ({ answer }) => JSON.stringify(answer),
    toText: ({ answer, screen }) => checkNamesText(answer, screen),
  }),
  clayCommand(twins, {
    options: withBook(twins.question),
    usage: 'twins CLAY --stock FILE',
    json: `{"twins": [{"clay", "lab", "twin": {"parts", "lab", "cov", "dE00", "chance"}, "pinch"}]}; pinch has the
      same fields, and is null where the twin needs none or nothing helps`,
    after:
      'Lines are those of the book, or of the file named with --stock. Of several pinches that come close enough, the smallest is named.',
    toJson: ({ answer }) => twinsJson(answer),
    toText: ({ answer, question, screen }) => twinsText(answer, question, screen),
  }),
  clayCommand(compareLines, {
    options: withBook(compareLines.question),
    usage: 'compare-lines CLAY --stock FILE',
    about:
      'Compares lines hue by hue: how bright their blocks are, how far their mixes go, and which line fills the gaps of which.',
    json: `{"lines": [{"line", "clays", "meanChroma", "volume", "share", "hues": [{"hue", "clays", "meanChroma", "strongest":
      {"lab", "chroma"}, "volume"}], "gives"}], "fills": [{"line", "by": [{"line", "to", "gives", "blocks": [{"clay", "to",
      "shown"}]}]}], "notes"}; volume is the size of the range in cubes of CIELAB units, share the part of the range of all clays
      together, to the same with the other line, or with its blocks one by one; gives are the colours of --aim or --palette`,
    after:
      'Lines are those of the book, or of the file named with --stock. Clays that shimmer or let light through are left out.',
    toJson: ({ answer }) => JSON.stringify(answer),
    toText: ({ answer, screen }) => compareLinesText(answer, screen),
  }),
  clayCommand(widen, {
    options: withBook(widen.question),
    usage: 'widen CLAY --lines "A"',
    about:
      'Names the few colours that would widen a line, or all your clays, most: colours that no clay has, and blocks of other lines.',
    json: `{"clays", "volume", "unmet", "missing": [{"name", "lab", "widens", "gives", "why"}], "known": the same with "clay" and
      "line" instead of "name", "notes"}; volume is the size of the range in cubes of CIELAB units, widens how much it grows after those
      named before, as a share; gives are the colours of --aim or --palette that come close enough with it`,
    after:
      'With colours you want, those come before range. Save a colour in the wish list of your book with "kneadwell add wish".',
    toJson: ({ answer }) => JSON.stringify(answer),
    toText: ({ answer, screen }) => widenText(answer, screen),
  }),
  clayCommand(newLot, {
    options: withBook(newLot.question),
    usage: 'new-lot CLAY --clay NAME --looks COLOUR',
    about:
      'Lists the mixes that change with a new lot of a clay, the worst first, each with the cut that gives its colour again with the least change. Bake a tile of the new lot first.',
    json: `{"clay", "before", "after", "dE00", "plusMinus", "mixes": [{"of", "parts", "before", "after": {"lab", "dE00",
      "plusMinus", "chance"}, "cut": {"parts", "lab", "dE00", "plusMinus", "chance", "change", "added"}, "stays", "unsure"}], "unread":
      [{"of", "why"}], "note"}; before and after are with the old lot and the new one; cut is null where the mix stays, where
      it is unsure (bake a tile of the mix), or where no other cut comes closer; change is the share of the clay that is another, added a clay the mix did not have`,
    after:
      'The old lot stays as it was learned: nothing is changed in the clay file or the book. A new cut uses the same clays; one more is added only where they cannot give the colour.',
    toJson: ({ answer }) => newLotJson(answer),
    toText: ({ answer, question, screen }) => newLotText(answer, question, screen),
  }),
  clayCommand(buyOrMix, {
    options: withBook(buyOrMix.question),
    usage: 'buy-or-mix CLAY --lines "A"',
    about:
      'Sorts blocks into two piles: the fewest to buy, and the rest, each with a recipe of the blocks to buy only.',
    json: `{"tolerance", "buy": [{"clay", "shown", "why": {"kind", "short", "sentence"}, "closest", "instead"}], "mix": [{"clay", "recipe", "lab", "dE00",
      "chance", "bakeFirst", "costPer100g", "blockPer100g"}], "neither": [{"clay", "sentence"}], "goal", "proven", "saves", "frontier":
      [{"from", "buy", "mix", "proven"}], "notes"}; goal is what the piles are best at, fewest where prices do not allow cheapest; instead are blocks that could be bought in its place; neither are blocks that you
      never buy and that nothing gives; costs and saves are in minor units of money, where prices are known`,
    after:
      'A recipe of a mixed block never uses another mixed block, so all of them can be made from what is bought. The chance counts what is not known of both colours. Lines and prices are those of the book, or of the file named with --stock.',
    toJson: ({ answer }) => buyOrMixJson(answer),
    toText: ({ answer, question, screen }) => buyOrMixText(answer, question, screen),
  }),
  clayCommand(buyingList, {
    options: withBook(buyingList.question),
    usage: 'buying-list CLAY --aim COLOUR',
    about:
      'Says what to buy for some colours: whole packages, with what you have, so that each colour has a recipe at the least cost.',
    json: `{"buy": [{"clay", "line", "shown", "packages", "packageG", "costMinor", "onHandG", "usedG", "leftG", "for": [{"colour", "grams"}]}],
      "have": the same for blocks that need no package, "colours": [{"colour", "lab", "grams", "recipe", "mixed", "dE00", "why"}], "packages",
      "costMinor", "currency", "gap", "meanDE00", "worstDE00", "helps": [{"clay", "colours"}], "frontier": [{"tolerance",
      "packages", "costMinor", "met", "meanDE00", "worstDE00"}], "notes"}; gap is the largest share by which
      a better list of any recipes could be cheaper; helps are blocks you would not buy that would give colours nothing gives`,
    after:
      'With --figure or --shape the list has the colours of a figure in the grams that its shapes need; those mixed already stay out. With --never and --never-lines you get the next best list without a block or a line. Stock, prices and lines are those of the book, or of the file named with --stock.',
    toJson: ({ answer }) => buyingListJson(answer),
    toText: ({ answer, question, screen }) => buyingListText(answer, question, screen),
  }),
  clayCommand(figure, {
    options: withBook(figure.question),
    usage: 'figure CLAY --shape SHAPE',
    about:
      'Plans the clay of a figure: grams of each colour, batches in whole pieces, packages to open and to buy, and what it costs.',
    json: `{"copies", "piece": {"acrossMm", "sheetMm", "cm3"}, "shapes": [{"name", "shape", "count", "colour", "volumeCm3", "totalCm3",
      "mixedCm3", "grams", "lab", "paint": {"colour", "areaCm2", "coats", "undercoats", "fewest", "most", "ml", "minutes",
      "wanted", "lab", "dE00", "hides", "contrast", "instead": {"grams", "minor", "paintedMinor"}}}], "batches": [{"colour", "kind", "parts": [{"of", "kind", "pieces",
      "grams", "lab"}], "pieces", "ballMm", "neededG", "makesG", "makesCm3", "lab", "roundingDE00", "strongest"}], "blocks": [{"clay",
      "usedG", "onHandG", "packageG", "lacksG", "buy", "leftG", "usedMinor", "buyMinor"}], "grams", "cost": {"currency", "clayMinor",
      "buyMinor", "workMinor", "hourlyMinor", "eachMinor"}, "leftOut": [{"shape", "sentence"}], "notes"}; batches come in the order in which they
      are mixed; mixedCm3 counts what is lost; money is in minor units`,
    after:
      'With --book the colour of a shape may be a mix by its code or name, and --figure takes the shapes from a figure of the book. A shape that cannot be planned is left out with its reason.',
    toJson: ({ answer }) => figureJson(answer),
    toText: ({ answer, screen }) => figureText(answer, screen),
  }),
];
