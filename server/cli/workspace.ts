import { stat } from 'node:fs/promises';
import { dirname, relative, resolve, sep } from 'node:path';
import { isWithin, NodeFiles, problemOf, realPath } from './node-files.js';
import { UnusableInput } from './outcome.js';
import { repositoryRoot } from './repository.js';

/** A project folder and the workspace around it. */
export interface Workspace {
  readonly files: NodeFiles;
  /** The project folder, relative to the workspace root, with forward slashes; empty for the root itself. */
  readonly folder: string;
}

/**
 * The workspace of the project at `path`, a folder or a file in it. Its root is `root`, or else the nearest folder
 * upward under version control, or else the project folder itself.
 */
export async function openWorkspace(path: string, root?: string): Promise<Workspace> {
  const folder = await projectFolder(path);
  const files = await NodeFiles.open(root ?? (await repositoryRoot(folder)) ?? folder);
  if (files === undefined) throw new UnusableInput(`The workspace root ${root} is no folder.`);
  if (!isWithin(files.root, folder)) throw new UnusableInput(`${path} lies outside the workspace root ${root}.`);
  return { files, folder: relative(files.root, folder).split(sep).join('/') };
}

async function projectFolder(path: string): Promise<string> {
  try {
    const real = await realPath(resolve(path));
    return (await stat(real)).isDirectory() ? real : dirname(real);
  } catch (error) {
    throw new UnusableInput(problemOf(path, error).message);
  }
}
