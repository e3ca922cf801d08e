// Rewrites the expectations in fixtures that may be rewritten, then shows what is still off.
import { runPackage } from './programs.mjs';

const { status } = runPackage('vitest', ['run', 'tests/fixtures', 'tests/spec'], {
  env: { ...process.env, GUSSET_UPDATE: '1' },
});
process.exitCode = status ?? 1;
