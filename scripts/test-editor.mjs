// Tests of the packaged extension in real editors: `npm run test:editor [-- NAME…] [--update-images]`. Closes with "N
// passed, N failed".
// With --bench the figures of `tests/editor/bench-…` are printed as JSON instead.
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { build as bundle } from 'esbuild';
import { installPackage, listen, runInBrowser, runOnNode } from './editor/host.mjs';
import { testNeovim } from './editor/neovim.mjs';
import { root } from './files.mjs';
import { extensionPackage, pack } from './package.mjs';

const { values: options, positionals: wanted } = parseArgs({
  allowPositionals: true,
  options: { 'update-images': { type: 'boolean' }, bench: { type: 'boolean' } },
});
const images = join(root, options['update-images'] ? 'docs/images' : 'out/editor-images');
const temporary = mkdtempSync(join(tmpdir(), 'gusset-editor-'));
const counts = { passed: 0, failed: 0 };
const figures = {};

process.chdir(root);
// Of the figures, only the figures go to standard output.
if (options.bench) console.log = console.error;
await pack({ quiet: true });
const extensions = installPackage(extensionPackage, join(temporary, 'install'));
const extension = join(
  extensions,
  readdirSync(extensions).find(name => name.startsWith('gusset.gusset-')),
);

const special = ['empty', 'folders', 'reload', 'untrusted', 'web'];
const suites = readdirSync(`tests/editor/suite`)
  .map(file => basename(file, '.ts'))
  .filter(isWanted);
try {
  if (options.bench) {
    if (isWanted('typing'))
      await session('typing', ['tests/editor/bench-typing.ts'], runOnNode, {
        severalFolders: true,
        prepare: workspace => generate(10_000, join(workspace, '../generated')),
      });
    if (isWanted('sheet'))
      await session('sheet', ['tests/editor/bench-sheet.ts'], runOnNode, {
        prepare: workspace => generate(20_000, workspace),
      });
  } else {
    await session('desktop', suites.filter(name => !special.includes(name)).map(suiteFile), runOnNode);
    await session('empty', suites.filter(name => name === 'empty').map(suiteFile), runOnNode, {
      prepare: () => undefined,
    });
    await session('folders', suites.filter(name => name === 'folders').map(suiteFile), runOnNode, {
      severalFolders: true,
    });
    await session('reload', suites.filter(name => name === 'reload').map(suiteFile), runOnNode);
    await session('untrusted', suites.filter(name => name === 'untrusted').map(suiteFile), runOnNode, {
      trusted: false,
    });
    await session('web', suites.filter(name => name === 'web').map(suiteFile), runInBrowser);
    if (isWanted('neovim')) testNeovim(join(temporary, 'neovim'), report);
  }
} finally {
  rmSync(temporary, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
if (options.bench)
  process.stdout.write(
    `${JSON.stringify(figures, (_, value) => (typeof value === 'number' ? Math.round(value) : value), 2)}\n`,
  );
else console.log(`${counts.passed} passed, ${counts.failed} failed`);
process.exitCode = counts.failed === 0 ? 0 : 1;

function isWanted(name) {
  return wanted.length === 0 || wanted.includes(name);
}

function suiteFile(name) {
  return `tests/editor/suite/${name}.ts`;
}

/** Runs suites in one editor. */
async function session(name, files, run, { trusted = true, severalFolders = false, prepare = copyExample } = {}) {
  if (files.length === 0) return;
  const folder = join(temporary, name);
  const workspace = join(folder, 'cordgrass');
  mkdirSync(workspace, { recursive: true });
  await prepare(workspace);
  const workspaceFile = join(folder, 'several.code-workspace');
  writeFileSync(workspaceFile, JSON.stringify({ folders: [{ path: 'cordgrass' }] }));
  const listener = await listen({ images, report });
  const before = counts.passed + counts.failed;
  const start = performance.now();
  const tests = await bundleSuites(name, files, run === runInBrowser, listener.address);
  await run(listener, {
    extension,
    tests,
    workspace: severalFolders ? workspaceFile : workspace,
    data: join(folder, 'data'),
    trusted,
    log: join(root, 'out', `${name}-editor.log`),
  });
  const code = await listener.finished;
  if (code !== 0 && typeof code === 'string') report({ name: `${name}: the editor`, error: code });
  else if (counts.passed + counts.failed === before && !options.bench)
    report({ name: `${name}: the editor`, error: 'it ran no test' });
  listener.close();
  if (!options.bench) console.log(`       ${name} session: ${((performance.now() - start) / 1000).toFixed(1)} s`);
}

/** No test edits the repository. */
function copyExample(workspace) {
  cpSync('examples/cordgrass', workspace, { recursive: true });
}

/** A project of so many requirements, and a file with a finding from the start. */
async function generate(count, folder) {
  const { generateProject } = await import('../tests/bench/generate.ts');
  mkdirSync(folder, { recursive: true });
  const files = { ...generateProject(count), 'mistake.gus': 'let mistake = 2 mm + 3 kg\n' };
  for (const [path, text] of Object.entries(files)) writeFileSync(join(folder, path), text);
}

/**
 * One module beside the extension's, where a web worker may load it, with the suites in it and the address to report
 * to.
 */
async function bundleSuites(name, files, browser, address) {
  const outfile = join(extension, `${name}.cjs`);
  const entries = files.map(
    file => `[${JSON.stringify(basename(file, '.ts'))}, () => import(${JSON.stringify(`./${file}`)})]`,
  );
  await bundle({
    absWorkingDir: root,
    stdin: {
      contents: `import { runSuites } from './tests/editor/support/runner.ts';\nexport const run = () => runSuites([${entries.join(', ')}]);`,
      resolveDir: root,
    },
    outfile,
    bundle: true,
    platform: browser ? 'browser' : 'node',
    target: 'es2022',
    format: 'cjs',
    external: ['vscode'],
    logLevel: 'warning',
    define: { HOST_ADDRESS: JSON.stringify(address) },
  });
  return outfile;
}

/** A result: passed without an error, failed with one; or figures of a benchmark. */
function report({ name, milliseconds, error, figures: measured }) {
  if (measured) return void (figures[name] = measured);
  counts[error ? 'failed' : 'passed']++;
  console.log(
    `${error ? 'FAILED' : 'ok    '} ${name}${milliseconds === undefined ? '' : ` (${(milliseconds / 1000).toFixed(1)} s)`}${error ? `\n       ${error.replaceAll('\n', '\n       ')}` : ''}`,
  );
}
