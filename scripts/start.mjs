// Checks the example and prints its table. The example has failing margins on purpose, so code 1 is a success here.
import { spawnSync } from 'node:child_process';
import { build } from './build.mjs';
import { root } from './files.mjs';

const meanings = {
  0: 'nothing at or above the chosen severity was found.',
  1: 'findings at or above the chosen severity were found (the example has failing margins on purpose).',
  2: 'the input could not be used.',
};

await build({ quiet: true });
const { status } = spawnSync(process.execPath, ['out/cli.mjs', 'check', 'examples/cordgrass'], {
  cwd: root,
  stdio: 'inherit',
});
console.log(`\nThe check's exit code is ${status}: ${meanings[status] ?? 'the tool itself failed.'}`);
process.exitCode = status === 0 || status === 1 ? 0 : (status ?? 2);
