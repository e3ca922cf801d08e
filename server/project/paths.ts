/** Paths within a workspace: forward slashes, relative to its root. */
import type { Outlines } from './outline.js';

export function folderOf(path: string): string {
  const slash = path.lastIndexOf('/');
  return slash < 0 ? '' : path.slice(0, slash);
}

/** `written` seen from `folder`, or null where it is absolute or leaves the workspace. */
export function joinPath(folder: string, written: string): string | null {
  if (/^([/\\]|[A-Za-z]:)/.test(written) || written.includes('\0')) return null;
  const parts = folder === '' ? [] : folder.split('/');
  for (const part of written.split(/[/\\]/)) {
    if (part === '' || part === '.') continue;
    if (part === '..') {
      if (parts.length === 0) return null;
      parts.pop();
    } else parts.push(part);
  }
  return parts.join('/');
}

/**
 * Which project each source belongs to: that of the nearest folder above it with a `project` block, else that of the
 * root.
 */
export function partition(sources: ReadonlyMap<string, string>, outlines: Outlines): Map<string, string[]> {
  const roots = new Set<string>();
  for (const [path, text] of sources) if (outlines.of(path, text).declaresProject) roots.add(folderOf(path));
  const projects = new Map<string, string[]>();
  for (const path of sources.keys()) {
    let folder = folderOf(path);
    while (folder !== '' && !roots.has(folder)) folder = folderOf(folder);
    const list = projects.get(folder);
    if (list) list.push(path);
    else projects.set(folder, [path]);
  }
  return projects;
}
