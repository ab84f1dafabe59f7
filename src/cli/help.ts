/** The verbs of the command line; docs/map.md has a row for each. */
export const VERB_NAMES = [
  'learn',
  'predict',
  'find',
  'inspect',
  'next-tile',
  'try',
  'nearest',
  'read',
  'tray-sheet',
] as const;
export type VerbName = (typeof VERB_NAMES)[number];

export const PROGRAM_HELP = `kneadwell: from baked sample tiles to recipes

  kneadwell learn READINGS... --out clay.json     How do these clays mix?
  kneadwell predict CLAY --of "1 Kelp + 3 Foam"   What comes out of this mix?
  kneadwell predict CLAY --from recipes.csv       ... of all these?
  kneadwell find CLAY --aim "#8a9b6c"             Which whole parts give this colour?
  kneadwell inspect CLAY                          What does it know, and how surely?
  kneadwell next-tile CLAY                        Which tile should I bake next?
  kneadwell try CLAY --aim "#8a9b6c"              Which of these little balls is nearest?
  kneadwell nearest "#8a9b6c" --in readings.csv   Which of my tiles is nearest to this colour?
  kneadwell read PHOTO...                         What colour are the tiles in this photo?
  kneadwell tray-sheet --out sheet.pdf            What do I lay them on for the photo?

Every verb takes
  --json              numbers for other programs, on standard output
  --light NAME        D50 (taken when nothing is said), D65, A, FL11 or LED-B3
  --observer DEG      2 (taken when nothing is said) or 10 degrees
  --basis BASIS       what parts count: volume or weight
  --help              more about the verb

  kneadwell --version

Endings: 0 an answer, also when it is "no"; 2 a call or file that cannot be read; 3 nothing there;
4 a clash with what is there; 5 a disk or folder that does not let us; 70 a fault of the program.
A fault is one sentence on standard error; with --json it is one line {"fault": {...}} there.
`;

const VIEWING = `  --light NAME        D50 (taken when nothing is said), D65, A, FL11 or LED-B3
  --observer DEG      2 (taken when nothing is said) or 10 degrees`;

export const VERB_HELP: Readonly<Record<VerbName, string>> = {
  learn: `kneadwell learn READINGS... --out FILE: how do these clays mix?

Reads tiles from files of readings (CSV, or CGATS as instruments write it) and writes a clay file:
what every clay absorbs and scatters, and how surely that is known. Only baked tiles are learned
from; what was left aside is said, and why. Readings of one model count parts one way.

  --out FILE          the clay file to write; one that is there is replaced as a whole
  --since OLD         an older clay file: say what changed since. It is compared, not learned from, and
                      may be the file that --out replaces
  --basis BASIS       what parts count where a row says nothing: volume (taken when nothing is
                      said) or weight
  --json              {"out", "basis", "readings", "tiles", "clays", "leftAside", "notes",
                      "report"}; with --since also "changes": {"since", "added", "gone", "moved",
                      "surprising", "contradicting"}
  --light, --observer as for every verb; learning itself keeps the light each reading was made under
  `,
  predict: `kneadwell predict CLAY --of RECIPE | --from FILE: what comes out of this mix?

  --of RECIPE         like "1 Kelp + 3 Foam" or "3 (2 Kelp + 1 Foam) + 1 Limpet"; may be repeated
  --from FILE         a CSV file with a column "of", and "basis" if wanted; all rows or none
  --basis BASIS       what parts count where a row says nothing: the basis the clay was learned by
  --json              one line a recipe: {"of", "lab", "cov", "light", "observer", "spectrum"};
                      cov is the covariance of L, a, b, 3 by 3
${VIEWING}
                      the Lab is told under these

The ± is the size of what is not known, in dE00: a tile mixed and baked lies about that far off.
  `,
  find: `kneadwell find CLAY --aim COLOUR: which whole parts give this colour?

  --aim COLOUR        60,-20,20 (L, a, b under --light and --observer), #8a9b6c, or Munsell
                      "5GY 6/4"
  --tolerance DE00    how near is near enough: 1.8, a match, when nothing is said
  --clays N         most different clays in one recipe: 4 when nothing is said
  --parts N           most whole parts in one recipe: 12 when nothing is said
  --top N             recipes to list: 10 when nothing is said
  --lights "D65, A"   rank by the worst of these lights and --light; the aim is taken to look alike
                      under each
  --give-up WHAT      lightness, chroma or hue counts for half
  --stock FILE        a CSV file of your clays (docs/formats.md has it): the column clay, and if wanted
                      line, grams, pack-grams, price and density. It tells lines, prices and weights

Rules, each of them yours to set:
  --only "A, B"       use these clays only; may be repeated, as all lists may
  --without "A, B"    leave these out
  --must "A, B"       a part of each of these
  --lines "L, M"      clays of these lines only
  --most-lines N      clays of at most so many lines in one recipe
  --at-least SHARE    like "50 % Saltmarsh": at least so much of a line, a kind of clay (white,
                      black, opaque, pastel, translucent, pearl, metallic, glitter, fluorescent)
                      or one clay
  --at-most SHARE     at most so much of it: "30 % translucent"
  --half-part DE00    half a part more or less of any clay may move the colour by this at most; where
                      that stands in the way of something nearer, a let-down is proposed
  --batch GRAMS       so much is wanted in all, of no clay more than the stock holds

  --exhaustive        try every recipe one by one: the same answer, much later
  --seconds N         search no longer than this, and answer with the best so far
  --basis BASIS       what parts count: the basis the clay was learned by; the other one wants the
                      densities in the stock
  --json              {"aim", "recipes": [{"parts", "lab", "dE00", "chance"}], "alternatives",
                      "frontier", "gapReport", "preMix", "unlearned", "tried", "total", "settled",
                      "proven", "endedBy", "searchMs"}; chance that it comes out within the
                      tolerance, by its ±; frontier are the recipes that none nearer beats in
                      clays, parts and price alike; settled is the share of all recipes tried or
                      proven worse, endedBy stop or time where that is not all; tried and searchMs
                      differ from run to run
${VIEWING}

When nothing comes near enough, the nearest are listed all the same, with how they fall short and
what would make it a yes. Ctrl-C ends the search with the best so far, and says how much of it was
left; Ctrl-C once more ends all.
  `,
  inspect: `kneadwell inspect CLAY: what does it know, and how surely?

  --json              {"madeWith", "basis", "geometry", "light", "observer", "clays", "groups",
                      "report"}
${VIEWING}
  `,
  'next-tile': `kneadwell next-tile CLAY: which tile should I bake next?

  --tiles N           tiles to name: 3 when nothing is said
  --for RECIPE        a mix that ought to come out surely; may be repeated
  --aim COLOUR        a colour wanted, written as for find; may be repeated
                      without --for and --aim, all mixes of two and three clays count
  --parts N           most whole parts in one tile: 16 when nothing is said
  --only "A, B"       name tiles of these clays only; may be repeated
  --basis BASIS       what parts count: the basis the clay was learned by
  --json              {"of", "expected", "tiles": [{"parts", "before", "after", "tellsOf", "what",
                      "sentence"}]}; of is all or some; expected, before and after are mean ± in
                      dE00; what is colour, scattering, strength or mix
${VIEWING}

A few at a time, with learning between them, teach more than many at once.
  `,
  try: `kneadwell try CLAY --aim COLOUR: which of these little balls is nearest?

Names three little balls to roll. You say which is nearest to the original and how it looks beside it;
the next three, or the recipe to keep, come from that. Three rounds more than halve a rough start.

  --aim COLOUR        written as for find
  --aim-spread N      how far the aim may be off, standard deviation of each of L, a, b: 6 when nothing
                      is said, as for a colour tapped in a picture; 0.5 for one an instrument read
  --verdicts FILE     the balls so far and what your eye said: a CSV file with the columns
                      trial,A,B,C,nearest,how (docs/formats.md has it); the next row to fill in is
                      printed every time
  --clays N         most different clays in one ball: 4 when nothing is said
  --parts N           most whole parts in one ball: 10 when nothing is said
  --only "A, B"       use these clays only; may be repeated
  --basis BASIS       what parts count: the basis the clay was learned by
  --json              {"aim", "heard", "waiting", "keep", "same", "balls": [{"parts", "lab"}],
                      "best": {"parts", "lab", "expected", "plusMinus", "chance"}}; expected is the mean dE00
                      from the aim, chance that of a match (1.8)
${VIEWING}
  `,
  nearest: `kneadwell nearest COLOUR --in READINGS: which of my tiles is nearest to this colour?

COLOUR is written as the aim of find: 60,-20,20, "#8a9b6c" or "5GY 6/4". Only baked tiles are compared;
readings of one tile count as their mean.

  --in READINGS       a file of readings (CSV, or CGATS as instruments write it); may be repeated
  --top N             tiles to list: 10 when nothing is said
  --within DE00       list only tiles up to this far; when there is none, the nearest is told all the
                      same
  --basis BASIS       what parts count where a row says nothing: volume (taken when nothing is said)
                      or weight
  --json              {"aim", "tiles": [{"tile", "of", "verdict", "dE00", "plusMinus", "lab",
                      "readings", "file", "line"}], "beyond", "compared", "raw", "notes"}; verdict is
                      same, match, close, family or different; beyond is the nearest when no tile
                      lies within
${VIEWING}
  `,
  read: `kneadwell read PHOTO...: what colour are the tiles in this photo?

Reads JPEG, PNG, TIFF, WebP and HEIC of up to 100 megapixels. Nothing is kept unless --out says so.

  --sheet NAME        the sheet the tiles lie on: A4 or Letter as "kneadwell tray-sheet" prints it,
                      none, or the file of a board of your own (docs/photo.md). When nothing is said,
                      the markers tell
  --chart EDITION     the chart of 24 patches: "from 2014" (taken when nothing is said), "before 2014",
                      none, or a file of readings of your own chart, tiles named A1 to D6
  --corners PLACES    outer corners of the sheet's corner markers, top left first, then clockwise, in
                      pixels: "80,95 1120,90 1130,1510 75,1500"; with --sheet
  --tap NAME@X,Y      a tile that lies on no sheet, by its middle in pixels; may be repeated
  --controls FILE     earlier readings of control tiles, by tile name: says whether they drift, and
                      balances a photo without a chart
  --tiles FILE        a CSV file with a column "of": what lies in places 1, 2, 3 ...
  --out FILE          write the readings as a CSV file that "kneadwell learn" takes; poor ones are left
                      out
  --json              {"photos": [{"file", "sheet", "chart", "tiles", "sharedCov", "notes", ...}],
                      "tiles", "drifts", "written"}; docs/photo.md tells every field
  --light, --observer, --basis as for every verb; a photo is read for D50 and 2 degrees
  `,
  'tray-sheet': `kneadwell tray-sheet --out FILE: what do I lay my tiles on for the photo?

  --out FILE          the PDF to write; print it at 100 % and check the ruler
  --paper NAME        A4 (taken when nothing is said) or Letter
  --codes "A, B"      codes to print beside places 1, 2, ...; may be repeated
  --json              {"out", "paper", "places", "leftOver"}
  --light, --observer, --basis as for every verb; they change nothing here
  `,
};
