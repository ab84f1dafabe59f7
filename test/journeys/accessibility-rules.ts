import axe from 'axe-core';
import type { Page } from 'playwright-core';

const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly target: string; readonly failureSummary: string }[];
}

/**
 * Rules of accessibility that the page breaks as it is shown now, all or one. The rules are loaded once a
 * document and run there: a window of their own for each run took three quarters of the time.
 */
export async function rulesBroken(page: Page, only?: string): Promise<string[]> {
  await page.evaluate(`if (globalThis.axe === undefined) { ${axe.source} }`);
  const options = {
    resultTypes: ['violations'],
    // No rule that runs reads style sheets or films, and the page has no frames.
    preload: false,
    iframes: false,
    runOnly: only === undefined ? { type: 'tag', values: TAGS } : { type: 'rule', values: [only] },
  };
  const { violations } = (await page.evaluate(
    `axe.run(document, ${JSON.stringify(options)}).then(({ violations }) => ({ violations }))`,
  )) as { violations: readonly Violation[] };
  return violations.map(({ id, nodes: [node] }) => `${id}: ${node.target} ${node.failureSummary}`);
}
