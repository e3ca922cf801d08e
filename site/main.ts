/** Writes the site into `out/docs`: pages, and the script and style that they share. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { build } from 'esbuild';
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
await build({
  entryPoints: [
    { in: 'site/page/main.ts', out: 'site' },
    { in: 'site/page/site.css', out: 'site' },
  ],
  outdir: out,
  bundle: true,
  minify: true,
  platform: 'browser',
  target: 'es2022',
  format: 'iife',
  logLevel: 'warning',
});
const pages = [...files.keys()].filter(path => path.endsWith('.html')).length;
console.log(
  `${out}: ${pages} pages, ${entries.length} search entries, ${(bytes / 2 ** 20).toFixed(1)} MiB in ${((performance.now() - start) / 1000).toFixed(1)} s`,
);
