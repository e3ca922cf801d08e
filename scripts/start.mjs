// Checks the example and prints the beginning of its report, two screens at most. The example has failing margins on
// purpose, so code 1 is a success here.
import { spawnSync } from 'node:child_process';
import { build } from './build.mjs';
import { root } from './files.mjs';
import { rowsAtTop, sectionsOf } from './report-top.mjs';

const marginLines = 28;
const next = `Where to go next
  docs/tutorial.md        from an empty folder to a closed margin table, in an hour
  docs/how-to/README.md   one task a page
  docs/editors/vscode.md  margins while you type
  docs/language.md        the reference
The whole report: npm run -s gusset -- check examples/cordgrass
What is wrong on purpose: examples/cordgrass/README.md`;

await build({ quiet: true });
const { status, stdout } = spawnSync(process.execPath, ['out/cli.mjs', 'check', 'examples/cordgrass', '--width=120'], {
  cwd: root,
  encoding: 'utf8',
  stdio: ['ignore', 'pipe', 'inherit'],
});
if (status === 0 || status === 1) console.log(`${beginningOf(stdout)}\n\n${next}`);
process.exitCode = status === 1 ? 0 : (status ?? 2);

/** Head, lowest margins, what is not proven, totals. */
function beginningOf(report) {
  return [
    ...sectionsOf(report, 'CHECK REPORT'),
    ...sectionsOf(report, 'MARGINS OF STRENGTH').map(section => rowsAtTop(section, marginLines)),
    ...sectionsOf(report, 'REQUIREMENTS NOT PROVEN'),
    report.trimEnd().split('\n\n').at(-1),
  ].join('\n\n');
}
