// Builds, then packs the extension into out/gusset.vsix.
import { spawnSync } from 'node:child_process';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from './build.mjs';
import { buildDocs } from './docs.mjs';
import { packager } from './editor/tools.mjs';
import { isStarted, root, whenChanged } from './files.mjs';

const inputs = [
  'out/extension.cjs',
  'out/extension-web.cjs',
  'out/server-web.js',
  'out/margin-sheet.js',
  'out/margin-sheet.css',
  'out/cli.mjs',
  'out/gusset.mjs',
  'out/THIRD-PARTY-NOTICES.txt',
  'out/chunks',
  'out/docs',
  'grammar',
  'client/icon.png',
  'client/file-icon.svg',
  'client/views/plate.svg',
  'client/walkthrough',
  'examples/bracket',
  'docs/editors/vscode.md',
  'docs/images',
  'package.json',
  'package.nls.json',
  'CHANGELOG.md',
  'LICENSE',
  '.vscodeignore',
];
const limit = 4 * 2 ** 20;
const readme = 'out/vscode.md';
export const extensionPackage = join(root, 'out/gusset.vsix');

export async function pack({ quiet = false } = {}) {
  await build({ quiet });
  await buildDocs({ quiet });
  await whenChanged('package', inputs, ['out/gusset.vsix'], () => {
    writeFileSync(join(root, readme), readmeWithPictures());
    const { status } = spawnSync(
      process.execPath,
      [
        packager(),
        'package',
        '--no-dependencies',
        '--allow-missing-repository',
        '--no-rewrite-relative-links',
        '--readme-path',
        readme,
        '--out',
        extensionPackage,
      ],
      { cwd: root, stdio: quiet ? ['ignore', 'ignore', 'inherit'] : 'inherit' },
    );
    if (status !== 0) throw new Error('The extension could not be packed.');
  });
  const { size } = statSync(extensionPackage);
  if (size > limit) throw new Error(`${extensionPackage} has ${size} bytes, more than the ${limit} allowed.`);
  if (!quiet) console.log(`${extensionPackage}: ${(size / 2 ** 20).toFixed(2)} MiB`);
}

/**
 * The page of the extension in an editor shows pictures from the page itself or from the network, never from files
 * beside it.
 */
function readmeWithPictures() {
  return readFileSync(join(root, 'docs/editors/vscode.md'), 'utf8').replace(
    /\]\(\.\.\/images\/([\w-]+\.png)\)/g,
    (_, name) => `](data:image/png;base64,${readFileSync(join(root, 'docs/images', name), 'base64')})`,
  );
}

if (isStarted(import.meta.filename)) await pack();
