/**
 * Words that Kneadwell no longer uses, each with the word that took its place and why. They are
 * looked for in what people see (screens, messages, help, documents) and, where `code` is set, in
 * comments, in names and in the titles of tests too.
 */
export interface OldWord {
  /** Matched without regard to capitals, at the bounds of words. */
  readonly word: string;
  readonly instead: string;
  /** Refused in comments and names as well. */
  readonly code?: true;
  /** Refused in declared names only as one of these parts of a name; absent: not looked for. */
  readonly name?: string;
  /** Where the word is right after all: a pattern of the text around it, with the reason. */
  readonly unless?: { readonly text: RegExp; readonly reason: string };
}

export const OLD_WORDS: readonly OldWord[] = [
  {
    word: 'foretell|foretells|foretold|foretelling',
    instead: 'predict',
    code: true,
    name: 'foretell|foretold',
  },
  {
    word: 'seek|seeks|seeking|sought',
    instead: 'find, search',
    code: true,
    name: 'seek|seeks|sought',
    unless: {
      text: /^(\/?seek|.*seek is now called find.*)$/i,
      reason: 'the former name of the command and of its address',
    },
  },
  { word: 'nought|naught', instead: '0, nothing', code: true, name: 'nought' },
  { word: 'anew', instead: 'again', code: true, name: 'anew' },
  { word: 'let-?downs?|let (it |one )?down', instead: 'pre-mix', code: true },
  {
    word: 'binned|(in|into|out of) the bin|empty the bin',
    instead: 'deleted, restore',
    code: true,
    name: 'binned',
  },
  {
    word: 'overrule|overrules|overruled|overruling',
    instead: 'override',
    code: true,
    name: 'overrule|overruled',
  },
  { word: 'till', instead: 'until', code: true, name: 'till' },
  { word: 'learnt', instead: 'learned', code: true, name: 'learnt' },
  { word: 'when nothing is said', instead: '(default ...)', code: true },
  {
    word: '(is|are|was|were|be) told|told (by|from|to be|apart|off)|as told',
    instead: 'known, found, given',
    code: true,
    name: 'told',
  },
  { word: 'desks?', instead: 'service, store', code: true, name: 'desk' },
  {
    word: 'shelf|shelves|shelved',
    instead: 'store, index',
    code: true,
    name: 'shelf|shelves',
    unless: { text: /^(the rockpool )?shelf$/i, reason: 'a real shelf in a studio' },
  },
  { word: 'misfits?', instead: 'residual, validation issue', code: true, name: 'misfit|misfits' },
  { word: 'at odds', instead: 'disagrees', code: true },
  { word: '(have|has|had) it otherwise', instead: 'disagrees', code: true },
  { word: '(take|takes|taken|took|taking) back|take the \\w+ back', instead: 'undo' },
  { word: 'not now', instead: 'Cancel' },
  { word: '(keep|leave) it(?! out| to| in)( as it (is|was))?', instead: 'Save, Cancel' },
  {
    word: 'let (it |all )?go|lay (it |this \\w+ )?away|laid (by|away)',
    instead: 'Clear, Dismiss, save',
    code: true,
  },
  { word: 'parents?', instead: 'clay' },
  { word: 'she|her|hers', instead: 'you; the user', code: true },
  { word: 'surely', instead: 'certainly, or the chance', code: true, name: 'surely' },
  {
    word: 'nor',
    instead: 'and not',
    code: true,
    unless: { text: /\bneither\b/i, reason: 'neither ... nor is everyday English' },
  },
  { word: 'whichever way', instead: 'either way', code: true },
  { word: 'lies in|lie in|lay in|lying in|stands there|stand there', instead: 'is in', code: true },
  { word: 'as it (stands|stood|was left|was found|comes)', instead: 'unchanged', code: true },
  { word: 'nobody asked|that nobody', instead: 'say who or what', code: true },
  {
    word: 'heed|heeds|heeded|whence|whither|thence|lest|whilst|amid|hereby|therein|thereof|wherein',
    instead: 'an everyday word',
    code: true,
  },
  {
    word: 'oftener|would have none|has none of it|gives? way|of its own accord',
    instead: 'an everyday word',
    code: true,
  },
  { word: 'give or take', instead: '±', code: true },
  {
    word: 'fetchers?|dwells?|bids?|bidden|forsaken?|forgoes?|forgone',
    instead: 'an everyday word',
    code: true,
  },
  {
    word: 'near enough|nearest (colours?|mix(es)?|recipes?|clays?|tiles?)',
    instead: 'close enough, closest',
  },
];
