import { lstat, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { Command } from 'commander';
import { visible } from '../../base/index.js';
import { formatText } from '../../syntax/formatter.js';
import { isSource } from '../../project/paths.js';
import { problemOf, realPath, writeText, type FileProblem, type NodeFiles } from '../node-files.js';
import { exitCodes, UnusableInput } from '../outcome.js';
import { complain, print } from '../terminal.js';
import { openWorkspace } from '../workspace.js';

/** A source to format, once however many paths lead to it. */
interface Target {
  readonly files: NodeFiles;
  /** Relative to the workspace. */
  readonly path: string;
}

export default new Command('format')
  .description('bring files into the one layout')
  .argument('<paths...>', 'files, or folders with all files below')
  .option('--check', 'change nothing; list the files that would change, and exit with 1 where there is one')
  .action(async (paths: readonly string[], { check = false }: { check?: boolean }) => {
    const targets = new Map<string, Target>();
    for (const path of paths)
      for (const target of await targetsAt(path)) {
        const full = join(target.files.root, target.path);
        const real = await realPath(full).catch(() => full);
        if (!targets.has(real)) targets.set(real, target);
      }
    let changed = 0;
    for (const { files, path } of targets.values()) changed += Number(await formatFile(files, path, check));
    if (check && changed > 0) process.exitCode ??= exitCodes.found;
  });

/** The file at `path` alone, or what is below a folder. */
async function targetsAt(path: string): Promise<readonly Target[]> {
  const information = await stat(path).catch((error: unknown) => {
    throw new UnusableInput(problemOf(path, error).message);
  });
  if (!information.isDirectory()) {
    const name = await spelledName(path);
    if (!isSource(name)) throw new UnusableInput(`${path} is no .gus file.`);
    // A link stands for the file in its own folder, which it may not lead out of.
    const { files, folder } = await openWorkspace(dirname(resolve(path)));
    return [{ files, path: folder === '' ? name : `${folder}/${name}` }];
  }
  const { files, folder } = await openWorkspace(path);
  const sources = await files.sources(folder);
  sources.problems.forEach(tell);
  if (sources.paths.length === 0) throw new UnusableInput(`${path} holds no .gus file.`);
  return sources.paths.map(source => ({ files, path: source }));
}

/** The name as the folder spells it, whose file system may take other spellings for the same. */
async function spelledName(path: string): Promise<string> {
  return basename((await lstat(path)).isSymbolicLink() ? resolve(path) : await realPath(path));
}

async function formatFile(files: NodeFiles, path: string, check: boolean): Promise<boolean> {
  const file = await files.readText(path);
  if ('message' in file) {
    tell(file);
    return false;
  }
  const text = formatText(file.text);
  if (text === file.text) return false;
  if (!check) await write(join(files.root, path), path, text);
  print(`${visible(`${check ? 'would change' : 'formatted'} ${path}`)}\n`);
  return true;
}

function tell({ message }: FileProblem): void {
  complain(`${visible(message)}\n`);
  process.exitCode = exitCodes.unusable;
}

async function write(full: string, path: string, text: string): Promise<void> {
  try {
    await writeText(full, text);
  } catch (error) {
    throw new UnusableInput(`The file is not formatted: ${problemOf(path, error).message}`);
  }
}
