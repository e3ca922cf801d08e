// Starts npm and the programs of installed packages in the same way on every system: as modules under this Node, since
// what stands on Windows' path in their place, `npm.cmd`, needs a shell.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { root } from './files.mjs';

/** The program of that name that an installed package brings along. */
export function runPackage(name, args, options) {
  const folder = join(root, 'node_modules', name);
  const { bin } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  return runModule(join(folder, typeof bin === 'string' ? bin : bin[name]), args, options);
}

export function runNpm(args, options) {
  const module = npmModule(process.env);
  if (module === undefined) throw new Error('npm is not on the path. Install the Node.js that brings it along.');
  return runModule(module, args, options);
}

/** The npm that started this, or else the one on the path. */
export function npmModule({ npm_execpath: started, PATH = '' }) {
  const installed = PATH.split(delimiter).flatMap(folder =>
    ['node_modules', '../lib/node_modules', '../share/nodejs'].map(each => join(folder, each, 'npm/bin/npm-cli.js')),
  );
  return [started, ...installed].find(path => path && /npm-cli\.[cm]?js$/.test(path) && existsSync(path));
}

export function runModule(module, args, { node = process.execPath, ...options } = {}) {
  return spawnSync(node, [module, ...args], { cwd: root, stdio: 'inherit', ...options });
}
