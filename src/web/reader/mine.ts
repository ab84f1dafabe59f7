import { translator } from './translator.ts';

// Loaded once a reader wants to see recipes for the clays at hand; see page.ts.
window.KNEADWELL_TRANSLATOR = translator;
