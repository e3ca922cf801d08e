/** Paths within a workspace: forward slashes, relative to its root. */

export function folderOf(path: string): string {
  const slash = path.lastIndexOf('/');
  return slash < 0 ? '' : path.slice(0, slash);
}

/** `written` seen from `folder`, or null where it is absolute or leaves the workspace. */
export function joinPath(folder: string, written: string): string | null {
  const path = joinOutward(folder, written);
  // What lies in a folder outside may lead around in it: whoever reads it says how far.
  return path !== null && isOutside(path) && !isOutside(folder) ? null : path;
}

/** The same, with `..` in front where it leads out of the workspace; null where it is absolute. */
export function joinOutward(folder: string, written: string): string | null {
  if (/^([/\\]|[A-Za-z]:)/.test(written) || written.includes('\0')) return null;
  const parts = folder === '' ? [] : folder.split('/');
  for (const part of written.split(/[/\\]/)) {
    if (part === '' || part === '.') continue;
    if (part === '..' && parts.length > 0 && parts.at(-1) !== '..') parts.pop();
    else parts.push(part);
  }
  return parts.join('/');
}

/** Whether a path leads out of the workspace. */
export function isOutside(path: string): boolean {
  return path === '..' || path.startsWith('../');
}

/** Whether `path` lies in `folder` or is the folder itself. */
export function isBelow(path: string, folder: string): boolean {
  return folder === '' ? !isOutside(path) : path === folder || path.startsWith(`${folder}/`);
}

/** Whether a file or folder of this name is looked into only where a `use` names it, or something in it. */
export function isPassedOver(name: string): boolean {
  return name === 'node_modules' || (name.startsWith('.') && name !== '.' && name !== '..');
}

/** Whether a path leads where sources are read only for a `use`. */
export function isElsewhere(path: string): boolean {
  return isOutside(path) || path.split('/').some(isPassedOver);
}

/** Whether a file is a source by its name. */
export function isSource(path: string): boolean {
  return /\.gus$/i.test(path);
}

/** A path as it is written in a file of `folder`. */
export function relativePath(folder: string, path: string): string {
  const from = folder === '' ? [] : folder.split('/');
  const to = path.split('/');
  let common = 0;
  while (common < from.length && common < to.length && from[common] === to[common]) common++;
  return [...from.slice(common).map(() => '..'), ...to.slice(common)].join('/') || '.';
}

/** The same for paths that some file systems take for one: they differ in case, or in how accents are composed. */
export function foldedPath(path: string): string {
  return path.normalize('NFC').toLowerCase();
}
