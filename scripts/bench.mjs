// Bundles the benchmarks and runs them in a fresh process, as the shipped bundle would run.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { build as bundle } from 'esbuild';
import { build } from './build.mjs';
import { root } from './files.mjs';

const outfile = join(root, 'out/bench.mjs');
await build({ quiet: true });
await bundle({
  absWorkingDir: root,
  entryPoints: ['tests/bench/main.ts'],
  outfile,
  bundle: true,
  platform: 'node',
  target: 'node22',
  format: 'esm',
  packages: 'external',
  logLevel: 'warning',
});
const { status } = spawnSync(process.execPath, ['--expose-gc', outfile, ...process.argv.slice(2)], {
  cwd: root,
  stdio: 'inherit',
});
process.exitCode = status ?? 1;
