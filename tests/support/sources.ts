/** Projects whose texts are all in memory. */
import { Outlines } from '../../server/project/outline.js';
import type { Project } from '../../server/project/project.js';
import { gatherSources, projectFolders, sourcesBelow } from '../../server/project/sources.js';

/** The project of a folder, with the libraries that it uses. */
export function setSources(project: Project, texts: ReadonlyMap<string, string>, folder = ''): void {
  const outlines = new Outlines();
  const own = sourcesBelow(folder, texts, projectFolders(texts, outlines));
  project.setSources(gatherSources(own, { texts, lookedAt: () => null }, outlines), texts);
}
