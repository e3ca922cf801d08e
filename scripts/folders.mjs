// Folders inside a level import one way: no folder reaches itself again through what its files import. The front of a
// level and generated registries gather what stands in its folders, and nothing in the level imports them.
import { readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { filesUnder, root } from './files.mjs';

const FRONTS = /\/(index|main)\.ts$/;

const levelOf = file => file.split('/', file.startsWith('server/') ? 2 : 1).join('/');

/** Folders by what they import of their own level, each with the import that says so. */
const reached = new Map();
for (const file of ['server', 'client'].flatMap(filesUnder)) {
  if (!file.endsWith('.ts') || FRONTS.test(file)) continue;
  const from = posix.dirname(file);
  for (const [, name] of readFileSync(join(root, file), 'utf8').matchAll(
    /^(?:import|export|\}) [^;]*?from '(\.[^']+)'/gm,
  )) {
    const to = posix.dirname(posix.join(from, name));
    if (to === from || levelOf(`${to}/`) !== levelOf(file)) continue;
    const known = reached.get(from) ?? reached.set(from, new Map()).get(from);
    if (!known.has(to)) known.set(to, `${file} imports ${name}`);
  }
}

/** The imports on the shortest way from a folder to another; null where there is none. */
function way(from, to) {
  const ways = new Map([[from, []]]);
  for (const [at, taken] of ways)
    for (const [next, how] of reached.get(at) ?? []) {
      if (next === to) return [...taken, how];
      if (!ways.has(next)) ways.set(next, [...taken, how]);
    }
  return null;
}

const circles = [...reached.keys()].map(folder => way(folder, folder)).filter(found => found !== null);
for (const circle of circles) console.error(`error folders in a circle:\n  ${circle.join('\n  ')}`);
process.exitCode = circles.length > 0 ? 1 : 0;
