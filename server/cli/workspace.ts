import { execFile } from 'node:child_process';
import { realpath, stat } from 'node:fs/promises';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { promisify } from 'node:util';
import { NodeFiles, problemOf } from './node-files.js';
import { UnusableInput } from './outcome.js';

/** A project folder and the workspace around it. */
export interface Workspace {
  readonly files: NodeFiles;
  /** The project folder, relative to the workspace root, with forward slashes; empty for the root itself. */
  readonly folder: string;
}

/**
 * The workspace of the project at `path`, a folder or a file in it. Its root is `root`, or else the nearest folder
 * upward
 * under version control, or else the project folder itself.
 */
export async function openWorkspace(path: string, root?: string): Promise<Workspace> {
  const folder = await projectFolder(path);
  const files = await NodeFiles.open(root ?? (await repositoryRoot(folder)) ?? folder);
  if (files === undefined) throw new UnusableInput(`The workspace root ${root} is no folder.`);
  const inside = relative(files.root, folder);
  if (inside === '..' || inside.startsWith(`..${sep}`))
    throw new UnusableInput(`${path} lies outside the workspace root ${root}.`);
  return { files, folder: inside.split(sep).join('/') };
}

/** ISO date of the last commit that `folder` stands on; undefined without version control. */
export async function revisionDate(folder: string): Promise<string | undefined> {
  try {
    const { stdout } = await promisify(execFile)('git', [
      '-c',
      'core.fsmonitor=false',
      '-C',
      folder,
      'log',
      '-1',
      '--no-show-signature',
      '--format=%cs',
    ]);
    return stdout.trim() || undefined;
  } catch {
    return undefined;
  }
}

async function projectFolder(path: string): Promise<string> {
  try {
    const real = await realpath(resolve(path));
    return (await stat(real)).isDirectory() ? real : dirname(real);
  } catch (error) {
    throw new UnusableInput(problemOf(path, error).message);
  }
}

async function repositoryRoot(folder: string): Promise<string | undefined> {
  for (let each = folder; ; each = dirname(each)) {
    if (
      await stat(join(each, '.git')).then(
        () => true,
        () => false,
      )
    )
      return each;
    if (each === dirname(each)) return undefined;
  }
}
