import { LIBRARY } from '../../model/declaration.js';
import { folderOf, joinPath } from '../../project/paths.js';
import { citedPaths } from '../cited-paths.js';
import { feature, rangeOf } from '../feature.js';

/**
 * `file("…")` and `use "…"` lead to what they cite, as long as it lies in the workspace. A folder is entered at its
 * project.
 */
export default feature('textDocument/documentLink', { documentLinkProvider: { resolveProvider: false } }, context =>
  citedPaths(context.text).flatMap(({ start, end, written, word }) => {
    const path = joinPath(folderOf(context.file), written);
    const target =
      path === null
        ? null
        : word === 'use'
          ? entrance(
              path,
              context.projects.flatMap(project => project.files),
            )
          : path;
    return target === null || context.file.startsWith(LIBRARY)
      ? []
      : [{ range: rangeOf(context.lines, start, end), target: context.uri(target), tooltip: `Open ${target}` }];
  }),
);

/** The file that a folder is shown by: `project.gus`, else the first of its sources. */
function entrance(folder: string, files: readonly string[]): string | null {
  if (files.includes(folder)) return folder;
  const inside = files.filter(file => folderOf(file) === folder).sort();
  return inside.find(file => file.endsWith('project.gus')) ?? inside[0] ?? null;
}
