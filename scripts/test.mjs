// The whole verdict: build, static checks, every suite. Closes with "N passed, N failed" alone on a line.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { root } from './files.mjs';

const results = 'out/test-results.json';
const steps = [
  ['build', 'npm', ['run', '--silent', 'build']],
  ['typecheck', 'npm', ['run', '--silent', 'typecheck']],
  ['style', 'npm', ['run', '--silent', 'style']],
  ['lint', 'npm', ['run', '--silent', 'lint']],
  ['layers', 'npm', ['run', '--silent', 'layers']],
  ['unused', 'npm', ['run', '--silent', 'unused']],
];

process.chdir(root);
const failedSteps = steps.filter(step => !run(...step)).map(([name]) => name);
rmSync(results, { force: true });
const suitesPass = run('suites', 'npx', [
  'vitest',
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${results}`,
]);
const { passed, failed } = countTests();

if (failedSteps.length > 0) console.log(`Failed steps: ${failedSteps.join(', ')}`);
// A suite that cannot even be loaded counts as one failure.
const failures = failedSteps.length + (suitesPass ? failed : Math.max(failed, 1));
console.log(`${passed + steps.length - failedSteps.length} passed, ${failures} failed`);
process.exitCode = failures === 0 ? 0 : 1;

function run(name, command, args) {
  const start = performance.now();
  const { status } = spawnSync(command, args, { stdio: 'inherit' });
  console.log(`${status === 0 ? 'ok    ' : 'FAILED'} ${name} (${((performance.now() - start) / 1000).toFixed(1)} s)`);
  return status === 0;
}

function countTests() {
  if (!existsSync(results)) return { passed: 0, failed: 0 };
  const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(results, 'utf8'));
  return { passed: numPassedTests, failed: numFailedTests };
}
