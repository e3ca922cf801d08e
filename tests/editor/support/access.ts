/** What in a page keeps someone out: contrast, names, roles, keys. */
import axe from 'axe-core';
import { expect } from './editor.js';
import { page } from './page.js';

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
}

/** Of the webview that shows something matching `selector`. */
export async function keepsNobodyOut(selector: string): Promise<void> {
  await page.evaluate(`${axe.source};null`, selector);
  const violations = await page.evaluate<Violation[]>(
    'axe.run(document).then(({ violations }) => violations)',
    selector,
  );
  expect(
    violations.length === 0,
    violations
      .map(
        ({ id, nodes }) =>
          `${id}: ${nodes
            .slice(0, 2)
            .map(node => `${node.html.slice(0, 120)} ${node.failureSummary}`)
            .join('; ')}`,
      )
      .join('\n'),
  );
}
