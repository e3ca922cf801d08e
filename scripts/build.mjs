// Generates, then bundles; each step only when its inputs changed since the last success.
import { copyFileSync, existsSync, mkdirSync, readdirSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build as bundle } from 'esbuild';
import { filesUnder, root, whenChanged } from './files.mjs';
import { generate } from './generate.mjs';

const inputs = ['server', 'client', 'grammar', 'docs/findings', 'scripts', 'langium-config.json', 'package.json', 'package-lock.json'];
const outputs = ['out/cli.mjs', 'out/gusset.mjs'];
// CommonJS packages inside an ES module bundle still ask for `require`.
const requireShim = "import{createRequire as createRequire_}from'node:module';const require=createRequire_(import.meta.url);";
const common = { absWorkingDir: root, bundle: true, platform: 'node', target: 'node22', sourcemap: true, logLevel: 'warning', legalComments: 'linked' };

export async function build({ quiet = false } = {}) {
  process.chdir(root);
  await generate({ quiet });
  const built = await whenChanged('bundle', inputs, outputs, async () => {
    mkdirSync('out', { recursive: true });
    await Promise.all([bundleCommandLine(), bundleExtension()]);
    copyFileSync('server/cli/launcher.mjs', 'out/cli.mjs');
  });
  if (!quiet) console.log(built ? 'Built.' : 'Up to date.');
}

/** Split, so that a command loads only what it needs: the language server stays out of a check. */
async function bundleCommandLine() {
  const { metafile } = await bundle({
    ...common, entryPoints: { gusset: 'server/cli/main.ts' }, format: 'esm', splitting: true, metafile: true,
    minifyWhitespace: true, outdir: 'out', outExtension: { '.js': '.mjs' }, chunkNames: 'chunks/[name]-[hash]', banner: { js: requireShim },
  });
  removeStaleChunks(Object.keys(metafile.outputs));
}

function removeStaleChunks(current) {
  if (!existsSync('out/chunks')) return;
  const names = new Set(current.map(output => basename(output)));
  for (const name of readdirSync('out/chunks')) if (!names.has(name)) rmSync(join('out/chunks', name));
}

async function bundleExtension() {
  if (filesUnder('client/extension.ts').length === 0) return;
  await bundle({ ...common, entryPoints: ['client/extension.ts'], outfile: 'out/extension.cjs', format: 'cjs', external: ['vscode'] });
}

if (process.argv[1] === import.meta.filename) await build();
