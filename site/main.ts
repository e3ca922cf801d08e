/** Writes the site into `out/docs`, with the script and the style that its pages share. */
import { copyFileSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { buildSite } from './site.js';

const out = 'out/docs';
const start = performance.now();
const { files, entries } = await buildSite('.');
rmSync(out, { recursive: true, force: true });
let bytes = 0;
for (const [path, content] of files) {
  const file = join(out, path);
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, content);
  bytes += Buffer.byteLength(content);
}
for (const shared of ['site.js', 'site.css']) copyFileSync(join('out', shared), join(out, shared));
const pages = [...files.keys()].filter(path => path.endsWith('.html')).length;
const seconds = ((performance.now() - start) / 1000).toFixed(1);
console.log(
  `${out}: ${pages} pages, ${entries.length} search entries, ${(bytes / 2 ** 20).toFixed(1)} MiB in ${seconds} s`,
);
