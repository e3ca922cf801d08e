// What tests in an extension host can do with the page that the editor is shown in. Each operation takes the arguments
// that `tests/editor/support/page.ts` sends.
import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { debianPackage } from './tools.mjs';

const patience = 120_000;

/** Operations on `page`; pictures are written below `images`. */
export function pageOperations(page, images) {
  const locate = async (selector, webview) =>
    webview ? (await webviewWith(page, selector)).locator(selector).first() : page.locator(selector).first();
  return {
    screenshot: async ({ name, area }) => {
      const path = join(images, `${name}.png`);
      mkdirSync(dirname(path), { recursive: true });
      await page.screenshot({
        path,
        clip: area,
        animations: 'disabled',
        caret: 'hide',
      });
    },
    /**
     * Prints the webview that shows something matching `selector`, as its page is at that moment; answers the text of
     * each sheet of paper.
     */
    print: async ({ name, selector }) => {
      const frame = await webviewWith(page, selector);
      const markup = await frame.evaluate(printed);
      const copy = await page.context().browser().newPage();
      try {
        await copy.setContent(markup);
        const path = join(images, `${name}.pdf`);
        mkdirSync(dirname(path), { recursive: true });
        await copy.pdf({ path, preferCSSPageSize: true, printBackground: true });
        debianPackage('poppler-utils', '/usr/bin/pdftotext');
        return spawnSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' }).stdout.split('\f').slice(0, -1);
      } finally {
        await copy.close();
      }
    },
    press: async ({ keys }) => {
      for (const key of keys) await page.keyboard.press(key);
    },
    type: ({ text }) => page.keyboard.type(text),
    focus: () => page.bringToFront(),
    click: async ({ selector, webview, button }) =>
      (await locate(selector, webview)).click({ timeout: patience, button }),
    hover: async ({ selector, webview }) => (await locate(selector, webview)).hover({ timeout: patience }),
    waitFor: async ({ selector, webview, state }) =>
      (await locate(selector, webview)).waitFor({ timeout: patience, state }),
    text: async ({ selector, webview }) => (await locate(selector, webview)).innerText({ timeout: patience }),
    evaluate: async ({ script, webview }) =>
      (await (webview ? await webviewWith(page, webview) : page).evaluate(script)) ?? null,
  };
}

/** The frame of a webview that shows something matching `selector`. */
async function webviewWith(page, selector) {
  const end = Date.now() + patience;
  for (;;) {
    for (const frame of page.frames()) {
      if (
        frame !== page.mainFrame() &&
        (await frame
          .locator(selector)
          .count()
          .catch(() => 0)) > 0
      )
        return frame;
    }
    if (Date.now() > end) throw new Error(`No webview shows ${selector}.`);
    await new Promise(resolve => setTimeout(resolve, 100));
  }
}

/** Runs in a page: its markup as it is about to be printed, with its styles inside. */
function printed() {
  window.dispatchEvent(new Event('beforeprint'));
  const copy = document.documentElement.cloneNode(true);
  window.dispatchEvent(new Event('afterprint'));
  for (const element of copy.querySelectorAll('script, link, meta[http-equiv], style')) element.remove();
  const style = document.createElement('style');
  style.textContent = [...document.styleSheets]
    .flatMap(sheet => [...sheet.cssRules])
    .map(rule => rule.cssText)
    .join('\n');
  copy.querySelector('head').append(style);
  return copy.outerHTML;
}
