/**
 * The page that the editor is shown in, as a user sees it. With `webview: true` a selector is looked for inside the
 * webviews instead.
 * Keys are named as browsers name them: `Control+Shift+P`, `F2`.
 */
import { ask } from './host.js';

export interface Target {
  readonly webview?: boolean;
}

/** In pixels of the page. */
export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export const page = {
  /** Written as NAME.png, whole or of an area. */
  screenshot: (name: string, area?: Area): Promise<void> => ask('screenshot', { name, area }),
  /**
   * The webview that shows something matching `selector` on paper, NAME.pdf beside the pictures: the text of each
   * sheet.
   */
  print: (name: string, selector: string): Promise<readonly string[]> => ask('print', { name, selector }),
  press: (...keys: string[]): Promise<void> => ask('press', { keys }),
  type: (text: string): Promise<void> => ask('type', { text }),
  /** The window to the front, with the focus. */
  focus: (): Promise<void> => ask('focus', {}),
  click: (selector: string, target: Target = {}): Promise<void> => ask('click', { selector, ...target }),
  hover: (selector: string, target: Target = {}): Promise<void> => ask('hover', { selector, ...target }),
  /** Until something that matches is visible. */
  waitFor: (selector: string, target: Target & { readonly state?: 'visible' | 'hidden' } = {}): Promise<void> =>
    ask('waitFor', { selector, ...target }),
  text: (selector: string, target: Target = {}): Promise<string> => ask('text', { selector, ...target }),
  /** The value of an expression in the page, or in the webview that shows something matching `webview`. */
  evaluate: <T>(script: string, webview?: string): Promise<T> => ask('evaluate', { script, webview }),
};

/**
 * Whether something that matches `selector` is in the page, or in the webview that shows something matching `webview`,
 * at any moment while `work` runs.
 */
export async function appears(selector: string, work: () => Promise<void>, webview?: string): Promise<boolean> {
  const look = `if (document.querySelector(${JSON.stringify(selector)})) globalThis.appeared = true`;
  await page.evaluate(
    `globalThis.appeared = false; globalThis.looking = new MutationObserver(() => { ${look}; }); looking.observe(document.body, { subtree: true, childList: true, attributes: true }); null`,
    webview,
  );
  await work();
  return page.evaluate<boolean>('looking.disconnect(), globalThis.appeared', webview);
}

/**
 * Presses a key until the name or text of what has the focus holds `words`, in the window or in the webview that shows
 * something matching `webview`; answers all that had it, the beginning of each.
 */
export async function keysTo(words: string, key: string, webview?: string): Promise<readonly string[]> {
  const passed: string[] = [];
  for (let count = 0; count < 40; count++) {
    const name = await page.evaluate<string>(
      '(at => at === document.body ? "the window" : [at.tagName, at.getAttribute("aria-label"), at.labels?.[0]?.textContent, at.textContent].filter(Boolean).join(" "))(document.activeElement)',
      webview,
    );
    passed.push(name.slice(0, 70));
    if (passed.at(-1)!.includes(words)) return passed;
    await page.press(key);
  }
  throw new Error(`${key} leads to no ${words}: ${passed.join(', ')}`);
}

/** Writes into a field of the webview that shows it, as if it was typed. */
export async function fill(selector: string, words: string): Promise<void> {
  await page.evaluate(
    `const field = document.querySelector(${JSON.stringify(selector)}); field.value = ${JSON.stringify(words)}; field.dispatchEvent(new Event('input', { bubbles: true })); null`,
    selector,
  );
}
