// The whole verdict: build, static checks, every suite. Closes with "N passed, N failed" alone on a line.
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { root } from './files.mjs';
import { runNpm, runPackage } from './programs.mjs';

const results = 'out/test-results.json';
const steps = ['build', 'typecheck', 'style', 'lint', 'layers', 'unused'];

process.chdir(root);
const failedSteps = steps.filter(name => !timed(name, () => runNpm(['run', '--silent', name])));
rmSync(results, { force: true });
const suitesPass = timed('suites', () =>
  runPackage('vitest', ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${results}`]),
);
const { passed, failed } = countTests();

if (failedSteps.length > 0) console.log(`Failed steps: ${failedSteps.join(', ')}`);
// A suite that cannot even be loaded counts as one failure.
const failures = failedSteps.length + (suitesPass ? failed : Math.max(failed, 1));
console.log(`${passed + steps.length - failedSteps.length} passed, ${failures} failed`);
process.exitCode = failures === 0 ? 0 : 1;

function timed(name, run) {
  const start = performance.now();
  const { status } = run();
  console.log(`${status === 0 ? 'ok    ' : 'FAILED'} ${name} (${((performance.now() - start) / 1000).toFixed(1)} s)`);
  return status === 0;
}

function countTests() {
  if (!existsSync(results)) return { passed: 0, failed: 0 };
  const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(results, 'utf8'));
  return { passed: numPassedTests, failed: numFailedTests };
}
