// Draws client/icon.png from client/icon.svg; run it after a change of the drawing.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './files.mjs';
import { launchBrowser } from './editor/tools.mjs';

const browser = await launchBrowser();
const page = await browser.newPage({ viewport: { width: 128, height: 128 } });
await page.setContent(`<body style="margin:0">${readFileSync(join(root, 'client/icon.svg'), 'utf8')}`);
await page.locator('svg').screenshot({ path: join(root, 'client/icon.png'), omitBackground: true });
await browser.close();
