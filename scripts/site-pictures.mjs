// Pictures of the site for docs/images, in light and dark: `npm run docs -- --update-images`.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { launchBrowser } from './editor/tools.mjs';
import { root } from './files.mjs';

const viewport = { width: 1280, height: 800 };

export async function takeSitePictures(folder) {
  const browser = await launchBrowser();
  const address = page => pathToFileURL(join(folder, page)).href;
  try {
    for (const colorScheme of ['light', 'dark']) {
      const page = await browser.newPage({ viewport, colorScheme });
      await page.goto(address('formulas/sections.html'));
      await page.locator('math, mjx-container, svg').first().waitFor();
      await page.screenshot({ path: join(root, `docs/images/site-formula-${colorScheme}.png`) });
      await page.goto(address('index.html'));
      await page.locator('input[type=search]').fill('margin');
      await page.locator('[role=option]').first().waitFor();
      await page.screenshot({ path: join(root, `docs/images/site-search-${colorScheme}.png`) });
    }
  } finally {
    await browser.close();
  }
}
