import { folderOf, joinPath, relativePath } from '../../project/paths.js';
import { feature, workspaceEdit, type TextEditAt } from '../feature.js';
import { citedPaths } from '../cited-paths.js';

interface Renamed {
  readonly oldUri: string;
  readonly newUri: string;
}

/**
 * When files or folders are renamed, what cites them follows: `file("…")` and `use "…"`, seen from where the citing
 * file then stands.
 */
export default feature(
  'workspace/willRenameFiles',
  { workspace: { fileOperations: { willRename: { filters: [{ pattern: { glob: '**/*' } }] } } } },
  async (context, params: { readonly files: readonly Renamed[] }) => {
    const moves = params.files.map(({ oldUri, newUri }) => ({ from: context.path(oldUri), to: context.path(newUri) }));
    const moved = (path: string): string => {
      for (const { from, to } of moves)
        if (path === from || path.startsWith(`${from}/`)) return to + path.slice(from.length);
      return path;
    };
    const edits: TextEditAt[] = [];
    for (const project of context.projects) {
      for (const file of project.files) {
        for (const { start, end, written } of citedPaths(project.text(file) ?? '')) {
          const path = joinPath(folderOf(file), written);
          if (path === null || (moved(path) === path && moved(file) === file)) continue;
          const text = relativePath(folderOf(moved(file)), moved(path));
          if (text !== relativePath(folderOf(file), path)) edits.push({ file, start, end, text });
        }
      }
      await context.pause();
    }
    return edits.length > 0 ? workspaceEdit(context, edits) : null;
  },
);
