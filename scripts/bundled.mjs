// Bundles a program of the tests and runs it in a fresh process, as the shipped bundle would run.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { build as bundle } from 'esbuild';
import { build } from './build.mjs';
import { root } from './files.mjs';

export async function runBundled(entryPoint, name, flags = [], { quiet = false } = {}) {
  const outfile = join(root, `out/${name}.mjs`);
  await build({ quiet: true });
  await bundle({
    absWorkingDir: root,
    entryPoints: [entryPoint],
    outfile,
    bundle: true,
    platform: 'node',
    target: 'node22',
    format: 'esm',
    packages: 'external',
    sourcemap: 'inline',
    logLevel: 'warning',
  });
  const { status } = spawnSync(process.execPath, [...flags, outfile, ...process.argv.slice(2)], {
    cwd: root,
    stdio: quiet ? ['ignore', 'ignore', 'inherit'] : 'inherit',
  });
  process.exitCode = status ?? 1;
  return status === 0;
}
