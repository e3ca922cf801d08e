import { Command } from 'commander';
import { visible } from '../../base/index.js';
import { formatText } from '../../syntax/formatter.js';
import { problemOf, writeText, type NodeFiles } from '../node-files.js';
import { exitCodes, UnusableInput } from '../outcome.js';
import { openWorkspace } from '../workspace.js';
import { join } from 'node:path';
import { stat } from 'node:fs/promises';

export default new Command('format')
  .description('bring files into the one layout')
  .argument('<paths...>', 'files or folders')
  .option('--check', 'change nothing; exit with 1 when a file would change')
  .action(async (paths: readonly string[], { check = false }: { check?: boolean }) => {
    let changed = 0;
    for (const path of paths) changed += await formatPath(path, check);
    if (check && changed > 0) process.exitCode ??= exitCodes.found;
  });

async function formatPath(path: string, check: boolean): Promise<number> {
  const single = await stat(path).then(
    information => information.isFile(),
    () => false,
  );
  const { files, folder } = await openWorkspace(path);
  const sources = await files.sources(folder);
  const wanted = single
    ? sources.paths.filter(source => join(files.root, source).endsWith(path.replace(/^\.\//, '')))
    : sources.paths;
  if (wanted.length === 0) throw new UnusableInput(`${path} holds no .gus file.`);
  let changed = 0;
  for (const source of wanted) changed += Number(await formatFile(files, source, check));
  return changed;
}

async function formatFile(files: NodeFiles, path: string, check: boolean): Promise<boolean> {
  const file = await files.readText(path);
  if ('message' in file) {
    process.stderr.write(`${visible(file.message)}\n`);
    process.exitCode = exitCodes.unusable;
    return false;
  }
  const text = formatText(file.text);
  if (text === file.text) return false;
  if (!check) await write(join(files.root, path), path, text);
  process.stdout.write(visible(`${check ? 'would change' : 'formatted'} ${path}`) + '\n');
  return true;
}

async function write(full: string, path: string, text: string): Promise<void> {
  try {
    await writeText(full, text);
  } catch (error) {
    throw new UnusableInput(`The file is not formatted: ${problemOf(path, error).message}`);
  }
}
