// Rewrites the expectations in fixtures that may be rewritten, then shows what is still off.
import { spawnSync } from 'node:child_process';
import { root } from './files.mjs';

const { status } = spawnSync('npx', ['vitest', 'run', 'tests/fixtures', 'tests/spec'], {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, GUSSET_UPDATE: '1' },
});
process.exitCode = status ?? 1;
