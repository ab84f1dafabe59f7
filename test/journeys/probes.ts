// What is measured inside the page, as text, because these run there and know its document.

const COMMON = `
  const PRESSABLE = 'a[href], button, input, select, textarea, summary, [role=slider], [role=radio], [role=option], [tabindex="0"]';
  const wordsOf = (el) => (el.getAttribute('aria-label') || el.textContent || el.value || el.className || el.tagName).trim().replace(/\\s+/g, ' ').slice(0, 40);
  const seen = (el) => el.checkVisibility({ visibilityProperty: true }) && !el.closest('[inert], [aria-hidden=true]');
  const forEarsAlone = (el) => {
    for (let up = el; up; up = up.parentElement) {
      const box = up.getBoundingClientRect();
      if (box.width <= 1 && box.height <= 1 && getComputedStyle(up).overflow === 'hidden') return true;
    }
    return false;
  };
  /** The box one presses: an input drawn by its label is pressed there. */
  const boxOf = (el) => {
    const drawn = el.matches('input[type=checkbox], input[type=radio], input[type=range], input[type=file]');
    return ((drawn ? el.closest('label, .way-track') : null) ?? el).getBoundingClientRect();
  };
`;

/** What can be pressed and is smaller than the house's 44 px; links within a sentence are exempt (WCAG 2.2, 2.5.8). */
export const SMALL_TARGETS = `(() => { ${COMMON}
  const problems = [];
  for (const el of document.querySelectorAll(PRESSABLE)) {
    if (!seen(el) || el.disabled || el.classList.contains('skip') || forEarsAlone(el)) continue;
    const box = boxOf(el);
    if (box.width <= 1 || box.height <= 1) continue;
    const inline = el.matches('a') && getComputedStyle(el).display === 'inline' &&
      [...el.parentElement.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== '');
    if (inline) continue;
    if (box.width < 43.5 || box.height < 43.5) problems.push(wordsOf(el) + ' ' + Math.round(box.width) + 'x' + Math.round(box.height));
  }
  return [...new Set(problems)];
})()`;

/** Whatever is scrolled sideways, or text that is cut off or lies beside the window. */
export const CUT_OFF = `(() => { ${COMMON}
  // Words that only the eye reads are cut off all the same: those of a choice, the names of layers.
  const drawn = (el) => seen(el) || (el.checkVisibility({ visibilityProperty: true }) && !el.closest('[inert]') && el.closest('.choice-item, .layer-name') !== null);
  const problems = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) {
    const out = [...document.querySelectorAll('body *')].filter((el) => el.getBoundingClientRect().right > root.clientWidth + 1 && !el.closest('.scroll'));
    problems.push('wider than the window by ' + (root.scrollWidth - root.clientWidth) + ': ' + out.slice(-3).map((el) => el.tagName + '.' + el.className + ' ' + wordsOf(el)).join('; '));
  }
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const el = node.parentElement;
    if (node.textContent.trim() === '' || !drawn(el) || el.closest('.unseen, .skip, option, script, style')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 1) continue;
      // A table in two ways may be scrolled in its own frame (1.4.10), where keys reach that frame.
      if (el.closest('.scroll[tabindex="0"]')) break;
      if (box.left < -1 || box.right > root.clientWidth + 1) { problems.push('beside the window: ' + wordsOf(el)); break; }
      let up = el;
      let cut = false;
      for (; up && up !== document.body; up = up.parentElement) {
        const look = getComputedStyle(up);
        if (look.display === 'inline' || look.display === 'contents') continue;
        const frame = up.getBoundingClientRect();
        const hides = (v) => v === 'hidden' || v === 'clip';
        if (hides(look.overflowX) && (box.left < frame.left - 1 || box.right > frame.right + 1)) cut = true;
        if (hides(look.overflowY) && (box.top < frame.top - 1 || box.bottom > frame.bottom + 1)) cut = true;
        if (look.position === 'fixed') break;
      }
      if (cut) { problems.push('cut off: ' + wordsOf(el)); break; }
    }
  }
  for (const el of document.querySelectorAll('.layer-name > strong')) {
    if (drawn(el) && el.scrollWidth > el.parentElement.clientWidth + 2) problems.push('under the colour beside it: ' + wordsOf(el));
  }
  return [...new Set(problems)];
})()`;

/** WCAG 2.2, 1.4.12, its figures; put on without a style in the page, which its policy refuses. */
export const SPACED_OUT = `(() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync('* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; } p { margin-bottom: 2em !important; }');
  document.adoptedStyleSheets = [sheet];
})()`;
export const NOT_SPACED_OUT = `document.adoptedStyleSheets = []`;

/** Everything that moves for more than an instant although the user asked for no motion. */
export const MOVING = `(() => { ${COMMON}
  const problems = document.getAnimations().map((one) => 'animation of ' + (one.effect?.target ? wordsOf(one.effect.target) : ''));
  const ms = (text) => Math.max(...text.split(',').map((v) => Number.parseFloat(v) * (v.trim().endsWith('ms') ? 1 : 1000)));
  for (const el of document.querySelectorAll('body *')) {
    const look = getComputedStyle(el);
    if (ms(look.transitionDuration) > 1 || (look.animationName !== 'none' && ms(look.animationDuration) > 1)) problems.push(wordsOf(el));
  }
  return [...new Set(problems)];
})()`;

/** Tiles that are no longer the colour they were given, and things one could not see any more. */
export const WRONG_IN_FORCED_COLOURS = `(() => { ${COMMON}
  const problems = [];
  let tiles = 0;
  for (const el of document.querySelectorAll('[style*=background]')) {
    if (!el.checkVisibility()) continue;
    tiles++;
    const probe = document.createElement('i');
    probe.style.cssText = 'forced-color-adjust: none; position: fixed; background-color:' + el.style.backgroundColor;
    document.body.append(probe);
    const meant = getComputedStyle(probe).backgroundColor;
    probe.remove();
    if (getComputedStyle(el).backgroundColor !== meant) problems.push('not its colour: ' + (el.className || el.tagName) + ' ' + wordsOf(el));
  }
  for (const el of document.querySelectorAll('button, input, select, textarea, a.button')) {
    if (!seen(el) || boxOf(el).width <= 1 || el.matches('[type=checkbox], [type=radio], [type=range], [type=file], [data-kind=quiet], .place')) continue;
    const look = getComputedStyle(el);
    const edged = ['Top', 'Right', 'Bottom', 'Left'].some((side) => look['border' + side + 'Style'] !== 'none' && Number.parseFloat(look['border' + side + 'Width']) >= 1);
    if (!edged && el.style.backgroundColor === '' && el.querySelector('.tile, .piece, .block') === null && !el.closest('.picture, .contact-cell')) problems.push('no edge: ' + wordsOf(el));
  }
  return { problems: [...new Set(problems)], tiles };
})()`;

/** Colours whose name is not given to screen readers. */
export const UNNAMED_COLOURS = `(() => { ${COMMON}
  const COLOUR = /\\b(?:black|white|gr[ae]y|greyish|brown|olive|red|pink|orange|yellow|green|blue|violet|purple|no colour|grayish)/i;
  const problems = [];
  let tiles = 0;
  for (const el of document.querySelectorAll('.tile')) {
    if (!seen(el)) continue;
    tiles++;
    if (el.getAttribute('role') !== 'img') { if (!el.matches('.no-colour')) problems.push('no picture for screen readers: ' + wordsOf(el.parentElement)); continue; }
    const label = el.getAttribute('aria-label') ?? '';
    if (!COLOUR.test(label.slice(label.lastIndexOf(':') + 1))) problems.push(label || wordsOf(el.parentElement));
  }
  return { problems, tiles };
})()`;

/** About the thing that has the keyboard now: what it is, whether that is seen, and whether something lies over it. */
export const REACHED = `(() => { ${COMMON}
  const el = document.activeElement;
  if (el === null || el === document.body) return null;
  window.reachedBefore ??= new WeakSet();
  const again = window.reachedBefore.has(el);
  window.reachedBefore.add(el);
  const problems = [];
  const marked = el.closest('[data-focus-visible]') ?? el.closest('label')?.querySelector('[data-focus-visible]') ?? el;
  const look = getComputedStyle(marked);
  const outer = getComputedStyle(el);
  const drawn = (one) => one.outlineStyle !== 'none' && Number.parseFloat(one.outlineWidth) >= 2;
  if (!drawn(look) && !drawn(outer)) problems.push('not seen to be reached');
  const box = boxOf(el);
  const shown = { left: Math.max(0, box.left), right: Math.min(innerWidth, box.right), top: Math.max(0, box.top), bottom: Math.min(innerHeight, box.bottom) };
  if (shown.right - shown.left < 1 || shown.bottom - shown.top < 1) problems.push('out of sight');
  else {
    const at = [0.1, 0.5, 0.9].map((f) => document.elementFromPoint(shown.left + (shown.right - shown.left) / 2, shown.top + (shown.bottom - shown.top) * f));
    const label = el.closest('label');
    const free = at.some((one) => one && (el.contains(one) || one.contains(el) || label?.contains(one)) && !(one === document.body));
    if (!free) problems.push('something lies over it');
  }
  return { words: wordsOf(el), problems, again };
})()`;

/** What can be reached by keyboard and was not, groups walked by arrow keys aside. */
export const NOT_REACHED = `(() => { ${COMMON}
  const problems = [];
  const scope = document.querySelector('[role=dialog]') ?? document;
  for (const el of scope.querySelectorAll(PRESSABLE)) {
    if (!seen(el) || el.disabled || el.getAttribute('aria-disabled') === 'true' || el.tabIndex < 0) continue;
    if (window.reachedBefore?.has(el)) continue;
    if (el.matches('input[type=radio]') || el.closest('[role=radiogroup], [role=toolbar], [role=listbox], [role=grid]')) continue;
    problems.push(wordsOf(el));
  }
  return [...new Set(problems)];
})()`;
