// Generates, then bundles; each step only when its inputs changed since the last success.
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build as bundle } from 'esbuild';
import { isStarted, root, whenChanged } from './files.mjs';
import { generate } from './generate.mjs';

const inputs = [
  'server',
  'client',
  'grammar',
  'docs/findings',
  'site',
  'scripts',
  'langium-config.json',
  'package.json',
  'package-lock.json',
];
const outputs = [
  'out/cli.mjs',
  'out/gusset.mjs',
  'out/extension.cjs',
  'out/extension-web.cjs',
  'out/server-web.js',
  'out/site.js',
  'out/THIRD-PARTY-NOTICES.txt',
];
// CommonJS packages inside an ES module bundle still ask for `require`.
const requireShim =
  "import{createRequire as createRequire_}from'node:module';const require=createRequire_(import.meta.url);";
const common = {
  absWorkingDir: root,
  bundle: true,
  platform: 'node',
  target: 'node22',
  sourcemap: true,
  logLevel: 'warning',
  // The notices hold the licences whole.
  legalComments: 'none',
  metafile: true,
};

export async function build({ quiet = false } = {}) {
  process.chdir(root);
  await generate({ quiet });
  const built = await whenChanged('bundle', inputs, outputs, async () => {
    mkdirSync('out', { recursive: true });
    const bundles = await Promise.all([bundleCommandLine(), bundleExtension(), bundleWeb(), bundlePages()]);
    writeFileSync('out/THIRD-PARTY-NOTICES.txt', notices(bundledPackages(bundles.flat())));
    copyFileSync('server/cli/launcher.mjs', 'out/cli.mjs');
  });
  if (!quiet) console.log(built ? 'Built.' : 'Up to date.');
}

/** Split, so that a command loads only what it needs: the language server stays out of a check. */
async function bundleCommandLine() {
  const result = await bundle({
    ...common,
    entryPoints: { gusset: 'server/cli/main.ts' },
    format: 'esm',
    splitting: true,
    minifyWhitespace: true,
    plugins: [lean],
    outdir: 'out',
    outExtension: { '.js': '.mjs' },
    chunkNames: 'chunks/[name]-[hash]',
    banner: { js: requireShim },
  });
  removeStaleChunks(Object.keys(result.metafile.outputs));
  return result;
}

/**
 * What a check never uses and would pay for at its start: the whole protocol behind three names, and programs started
 * as subcommands.
 */
const lean = {
  name: 'lean',
  setup(build) {
    build.onResolve({ filter: /^vscode-languageserver-protocol$/ }, ({ importer, resolveDir, kind }) =>
      /node_modules[\\/]langium[\\/]/.test(importer)
        ? build.resolve('vscode-jsonrpc', { resolveDir, kind, importer: 'lean' })
        : undefined,
    );
    build.onResolve({ filter: /^node:child_process$/ }, ({ importer }) =>
      /node_modules[\\/]commander[\\/]/.test(importer) ? { path: 'no-programs', namespace: 'lean' } : undefined,
    );
    build.onLoad({ filter: /.*/, namespace: 'lean' }, () => ({ contents: 'export default {};' }));
  },
};

function removeStaleChunks(current) {
  if (!existsSync('out/chunks')) return;
  const names = new Set(current.map(output => basename(output)));
  for (const name of readdirSync('out/chunks')) if (!names.has(name)) rmSync(join('out/chunks', name));
}

function bundleExtension() {
  return bundle({
    ...common,
    entryPoints: ['client/extension.ts'],
    outfile: 'out/extension.cjs',
    format: 'cjs',
    external: ['vscode'],
    minify: true,
  });
}

/** The extension and its server where there is no Node: a CommonJS module and a classic worker. */
function bundleWeb() {
  const web = { ...common, platform: 'browser', target: 'es2022', minify: true };
  return Promise.all([
    bundle({
      ...web,
      entryPoints: ['client/extension-web.ts'],
      outfile: 'out/extension-web.cjs',
      format: 'cjs',
      external: ['vscode'],
    }),
    bundle({ ...web, entryPoints: ['server/lsp/browser.ts'], outfile: 'out/server-web.js', format: 'iife' }),
  ]);
}

/** Pages of panels and of the documentation: a script and a style sheet each. */
function bundlePages() {
  return bundle({
    ...common,
    platform: 'browser',
    target: 'es2022',
    minify: true,
    entryPoints: [
      { in: 'client/panels/sheet/page/main.ts', out: 'margin-sheet' },
      { in: 'client/panels/sheet/page/sheet.css', out: 'margin-sheet' },
      { in: 'site/page/main.ts', out: 'site' },
      { in: 'site/page/site.css', out: 'site' },
    ],
    outdir: 'out',
    format: 'iife',
  });
}

/** The folders of the packages that something of went into a bundle. */
function bundledPackages(results) {
  const inputs = results.flatMap(({ metafile }) =>
    Object.values(metafile.outputs).flatMap(output =>
      Object.entries(output.inputs)
        .filter(([, { bytesInOutput }]) => bytesInOutput > 0)
        .map(([input]) => input),
    ),
  );
  const folders = inputs.map(input => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(input)?.[0]).filter(Boolean);
  return [...new Set(folders)].sort();
}

/** Name, version and licence text of each. A package without its licence can't be shipped. */
function notices(folders) {
  const texts = folders.map(folder => {
    const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    const files = readdirSync(folder).filter(file => /^(licen[cs]e|notice|thirdparty)/i.test(file));
    if (!files.some(file => /^licen[cs]e/i.test(file))) throw new Error(`${folder} has no licence text.`);
    return `${name} ${version} (${license})\n\n${files.map(file => readFileSync(join(folder, file), 'utf8').trim()).join('\n\n')}\n`;
  });
  const rule = `\n${'-'.repeat(80)}\n\n`;
  return `Gusset holds parts of the following packages.\n${texts.map(text => rule + text).join('')}`;
}

if (isStarted(import.meta.filename)) await build();
