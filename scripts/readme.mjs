// Fills the marked regions of README.md from the examples; with `--check` only says whether one is stale.
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from './build.mjs';
import { isStarted, root, writeIfChanged } from './files.mjs';
import { rowsAtTop, sectionsOf } from './report-top.mjs';

const region = /(<!-- from (.*?) -->\n```\w*\n)[\s\S]*?(\n```\n<!-- end -->)/g;
const outputLines = 12;

/** The text with its regions as the examples are now. */
function filled(readme) {
  return readme.replace(region, (_, begin, from, end) => begin + contentOf(from) + end);
}

/** `FILE: HEAD, HEAD` stands for the blocks of a file that begin so, `gusset check PATH` for the top of a report. */
function contentOf(from) {
  if (from.startsWith('gusset check ')) return reportTop(from.slice('gusset check '.length));
  const [file, heads] = from.split(': ');
  const text = readFileSync(join(root, file), 'utf8');
  return heads
    .split(', ')
    .map(head => blockOf(text, head, file))
    .join('\n\n');
}

/** From a line to the brace that stands below its beginning, moved to the left. */
function blockOf(text, head, file) {
  const found = new RegExp(`^( *)${head}\\b[^\\n]*\\{\\n[\\s\\S]*?\\n\\1\\}`, 'm').exec(text);
  if (!found) throw new Error(`${file} has no block "${head}".`);
  return found[0].replaceAll(new RegExp(`^${found[1]}`, 'gm'), '');
}

function reportTop(path) {
  const { stdout } = spawnSync(process.execPath, ['out/cli.mjs', 'check', path], {
    cwd: root,
    encoding: 'utf8',
    env: { ...process.env, LC_ALL: 'C.UTF-8' },
  });
  const [margins] = sectionsOf(stdout, 'MARGINS OF STRENGTH');
  return `${rowsAtTop(margins, outputLines)}\n\n${stdout.trimEnd().split('\n\n').at(-1)}`;
}

if (isStarted(import.meta.filename)) {
  await build({ quiet: true });
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  const next = filled(readme);
  if (!process.argv.includes('--check')) writeIfChanged('README.md', next);
  else if (next !== readme) {
    console.error('README.md shows an example as it was: npm run readme.');
    process.exitCode = 1;
  }
}
