// The documentation as a static site in out/docs; nothing when nothing changed.
import { join } from 'node:path';
import { runBundled } from './bundled.mjs';
import { isStarted, root, whenChanged } from './files.mjs';
import { takeSitePictures } from './site-pictures.mjs';

const inputs = [
  'site',
  'server',
  'grammar',
  'docs',
  'examples/bracket',
  'README.md',
  'DEVELOPERS.md',
  'CHANGELOG.md',
  'scripts',
  'package-lock.json',
];

export async function buildDocs({ quiet = false } = {}) {
  const built = await whenChanged('docs', inputs, ['out/docs/index.html'], async () => {
    if (!(await runBundled('site/main.ts', 'docs-builder', [], { quiet })))
      throw new Error('The documentation could not be built.');
  });
  if (!quiet && !built) console.log('Up to date.');
}

if (isStarted(import.meta.filename)) {
  await buildDocs();
  if (process.argv.includes('--update-images')) await takeSitePictures(join(root, 'out/docs'));
}
