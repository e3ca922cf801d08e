/**
 * Which sources make a project: those of its folder, and as libraries those of the folders and files that they `use`.
 * The same for terminal and editor, which differ in how they come by the texts.
 */
import { libraryKey, type LibraryPlace, type UsedLibrary } from '../model/namespace.js';
import type { Outlines } from './outline.js';
import { foldedPath, folderOf, isBelow, isPassedOver, isSource, joinOutward } from './paths.js';

/** Texts that are known, and where all has been looked at. */
export interface KnownSources {
  readonly texts: ReadonlyMap<string, string>;
  /** Why there is nothing at a path; null where it was read, undefined where it was not looked at yet. */
  lookedAt(path: string): string | null | undefined;
}

/** What a `use` leads to: a library, with its path as the file system spells it, or why to none. */
export type UseOutcome = { readonly key: string; readonly spelt: string } | { readonly problem: string };

export interface LibrarySources extends LibraryPlace {
  /** The folder or file. */
  readonly path: string;
}

/** All that a project is made of. */
export interface ProjectSources {
  readonly files: readonly string[];
  readonly libraries: readonly LibrarySources[];
  readonly uses: readonly UsedLibrary[];
  /** What comes of each `use`, by the file that it stands in and the path that it names. */
  readonly outcomes: ReadonlyMap<string, ReadonlyMap<string, UseOutcome>>;
  /** Folders and files that a `use` names and that were not looked at yet. */
  readonly wanted: readonly string[];
}

const NAME = /^[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;

/** Folders with a `project` block among sources. */
export function projectFolders(texts: ReadonlyMap<string, string>, outlines: Outlines): ReadonlySet<string> {
  const folders = new Set<string>();
  for (const [path, text] of texts) if (outlines.of(path, text).declaresProject) folders.add(folderOf(path));
  return folders;
}

/** The project folder that a source belongs to: the nearest above it, else the root. */
export function projectFolderOf(path: string, projects: ReadonlySet<string>): string {
  let folder = folderOf(path);
  while (folder !== '' && !projects.has(folder)) folder = folderOf(folder);
  return folder;
}

/** The sources of a folder, without those of projects further down and those in folders that are passed over. */
export function sourcesBelow(
  folder: string,
  texts: ReadonlyMap<string, string>,
  projects: ReadonlySet<string>,
): readonly string[] {
  const length = folder === '' ? 0 : folder.length + 1;
  return [...texts.keys()]
    .filter(path => {
      if (path === folder || !isBelow(path, folder) || path.slice(length).split('/').some(isPassedOver)) return false;
      const own = projectFolderOf(path, projects);
      return own === folder || !isBelow(own, folder);
    })
    .sort();
}

/** All sources of the project whose own are `files`. */
export function gatherSources(files: readonly string[], known: KnownSources, outlines: Outlines): ProjectSources {
  return new Gathering(files, known, outlines).gather();
}

interface Target {
  readonly path: string;
  readonly files: readonly string[];
}

/** A `use` as it is written in a file of the project (null) or of a library. */
interface WrittenUse {
  readonly file: string;
  readonly path: string;
  readonly name: string | null;
  readonly from: Target | null;
  readonly to: Target | 'the project' | { readonly problem: string };
}

class Gathering {
  private readonly own: ReadonlySet<string>;
  private readonly projects: ReadonlySet<string>;
  private readonly targets = new Map<string, Target>();
  private readonly uses: WrittenUse[] = [];
  private readonly wanted = new Set<string>();

  constructor(
    private readonly files: readonly string[],
    private readonly known: KnownSources,
    private readonly outlines: Outlines,
  ) {
    this.own = new Set(files);
    this.projects = projectFolders(known.texts, outlines);
  }

  gather(): ProjectSources {
    this.follow(null, this.files);
    const found = [...this.targets.values()];
    const holder = new Map(found.map(target => [target, holderOf(target, found)]));
    const libraries = [...new Set(holder.values())];
    const usesOf = (library: Target | null): UsedLibrary[] =>
      this.uses.flatMap(({ from, to, name, path }) => {
        if ((from && holder.get(from)) !== library) return [];
        if (to !== 'the project' && 'problem' in to) return [];
        const key = to === 'the project' ? '' : libraryKey(holder.get(to)!.path);
        return [{ name: name ?? libraryName(joinOutward('', path)!), key }];
      });
    const outcomes = new Map<string, Map<string, UseOutcome>>();
    for (const { file, path, to } of this.uses) {
      const ofFile = outcomes.get(file) ?? new Map<string, UseOutcome>();
      outcomes.set(file, ofFile);
      if (to !== 'the project')
        ofFile.set(path, 'files' in to ? { key: libraryKey(holder.get(to)!.path), spelt: to.path } : to);
    }
    return {
      files: this.files,
      libraries: libraries.map(library => ({
        path: library.path,
        key: libraryKey(library.path),
        name: this.shownName(library, holder),
        files: library.files,
        uses: usesOf(library),
      })),
      uses: usesOf(null),
      outcomes,
      wanted: [...this.wanted],
    };
  }

  /** Follows what files use, and what is used there; what was followed once is not followed again. */
  private follow(from: Target | null, files: readonly string[]): void {
    for (const file of files) {
      for (const { path, name } of this.outlines.of(file, this.known.texts.get(file)!).uses) {
        const target = this.leadsTo(file, path, from);
        if (!target) continue;
        this.uses.push({ file, path, name, from, to: target });
      }
    }
  }

  private leadsTo(file: string, written: string, from: Target | null): WrittenUse['to'] | null {
    const path = joinOutward(folderOf(file), written);
    if (path === null || written === '')
      return { problem: `a library is named by a path from the folder of ${file}, such as "../house"` };
    const known = this.targets.get(path);
    const target = known ?? this.look(path);
    if (!target) return null;
    if ('problem' in target) return target;
    if (target.files.includes(file))
      return { problem: `"${written}" holds ${file} itself, whose names need no use. Leave it out` };
    if (target.files.some(each => this.own.has(each))) {
      if (from) return 'the project';
      return { problem: `"${written}" is part of this project, or holds it: its names need no use. Leave it out` };
    }
    if (!this.targets.has(target.path)) {
      this.targets.set(target.path, target);
      this.follow(target, target.files);
    }
    return target;
  }

  private look(path: string): Target | { readonly problem: string } | null {
    const { texts } = this.known;
    const reason = this.known.lookedAt(path);
    if (reason === undefined) {
      this.wanted.add(path);
      return null;
    }
    for (const spelt of new Set([path, this.spelt(path)])) {
      const files = texts.has(spelt) ? [spelt] : sourcesBelow(spelt, texts, this.projects);
      // By any spelling it is one library.
      if (files.length > 0) return this.targets.get(spelt) ?? { path: spelt, files };
    }
    if (reason !== null) return { problem: reason };
    return { problem: isSource(path) ? `there is no file ${path}` : `there is no .gus file in the folder ${path}` };
  }

  /** A path as the file system spells it, where that is clear; else as it is. */
  private spelt(path: string): string {
    const [folded, depth] = [foldedPath(path), path.split('/').length];
    const found = new Set<string>();
    for (const known of this.known.texts.keys()) {
      const begin = known.split('/').slice(0, depth).join('/');
      if (foldedPath(begin) === folded) found.add(begin);
    }
    return found.size === 1 ? [...found][0]! : path;
  }

  /** As the project calls it, else as another library does. */
  private shownName(library: Target, holder: ReadonlyMap<Target, Target>): string {
    const calling = this.uses.filter(({ to }) => to !== 'the project' && 'files' in to && holder.get(to) === library);
    const named = calling.find(({ from, name }) => !from && name) ?? calling.find(({ name }) => name);
    return named?.name ?? libraryName(library.path) ?? library.path;
  }
}

/** The widest target that holds all that another does: a file has its names in one library. */
function holderOf(target: Target, all: readonly Target[]): Target {
  const first = target.files[0]!;
  return all
    .filter(other => other.files.includes(first))
    .reduce((widestYet, other) => (isWider(other, widestYet) ? other : widestYet), target);
}

function isWider(one: Target, other: Target): boolean {
  return one.path.length < other.path.length && isBelow(other.path, one.path);
}

/** What a library is called that is given no name: as its folder or file is. */
function libraryName(path: string): string | null {
  const last = path.slice(path.lastIndexOf('/') + 1).replace(/\.gus$/i, '');
  return NAME.test(last) ? last : null;
}
