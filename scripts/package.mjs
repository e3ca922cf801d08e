// Builds, then packs the extension into out/gusset.vsix.
import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { build } from './build.mjs';
import { packager } from './editor/tools.mjs';
import { root, whenChanged } from './files.mjs';

const inputs = ['out/extension.cjs', 'out/extension-web.cjs', 'out/server-web.js', 'out/margin-sheet.js', 'out/margin-sheet.css', 'out/cli.mjs', 'out/gusset.mjs', 'out/chunks', 'grammar', 'client/icon.png', 'client/file-icon.svg', 'client/views/plate.svg', 'client/walkthrough', 'examples/bracket', 'docs/editors/vscode.md', 'package.json', 'package.nls.json', 'CHANGELOG.md', 'LICENSE', '.vscodeignore'];
const limit = 3 * 2 ** 20;
export const extensionPackage = join(root, 'out/gusset.vsix');

export async function pack({ quiet = false } = {}) {
  await build({ quiet });
  await whenChanged('package', inputs, ['out/gusset.vsix'], () => {
    const { status } = spawnSync(process.execPath, [packager(), 'package', '--no-dependencies', '--allow-missing-repository', '--no-rewrite-relative-links', '--readme-path', 'docs/editors/vscode.md', '--out', extensionPackage], { cwd: root, stdio: quiet ? ['ignore', 'ignore', 'inherit'] : 'inherit' });
    if (status !== 0) throw new Error('The extension could not be packed.');
  });
  const { size } = statSync(extensionPackage);
  if (size > limit) throw new Error(`${extensionPackage} has ${size} bytes, more than the ${limit} allowed.`);
  if (!quiet) console.log(`${extensionPackage}: ${(size / 2 ** 20).toFixed(2)} MiB`);
}

if (process.argv[1] === import.meta.filename) await pack();
