/** What a project has of the libraries that it uses. */
import type { Declaration, Use, ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { ProjectView, UsedLibraryView } from './rule.js';
import { saidIn } from '../model/statements.js';

type Outcome = ReturnType<ProjectView['useOutcome']>;

/** Every `use` of the project and its libraries that may bring something in. */
export function* usesOf(
  view: ProjectView,
): Iterable<{ readonly declaration: Declaration; readonly use: Use; readonly outcome: Outcome }> {
  for (const declaration of view.namespace.rootDeclarations)
    for (const use of saidIn(declaration, 'uses'))
      yield { declaration, use, outcome: view.useOutcome(declaration.placement.file, use.path) };
}

export function libraryOf(view: ProjectView, outcome: Outcome): UsedLibraryView | undefined {
  return outcome && 'key' in outcome ? view.libraries.find(({ key }) => key === outcome.key) : undefined;
}

/** Whether a pin is that of the content of a library, and not of its revision. */
export function isContentPin(pin: string): boolean {
  return /^[0-9a-f]{12}$/.test(pin);
}

/** An override of a configuration that changes what a library states. */
export interface LibraryOverride {
  readonly configuration: Entity;
  readonly item: ValueItem;
  readonly library: Entity;
  readonly path: string;
  /** What it takes the place of. */
  readonly target: ValueItem | undefined;
}

export function libraryOverrides(view: ProjectView): LibraryOverride[] {
  const { namespace } = view;
  if (namespace.libraries.length === 0) return [];
  return namespace.ofKind('configuration').flatMap(configuration =>
    configuration.declaration.values.flatMap(item => {
      const owner = namespace.resolvePath(item.path.slice(0, -1), namespace.root);
      if (!owner || !namespace.isOfLibrary(owner)) return [];
      const name = item.path.at(-1)!;
      const library = namespace.topAbove(owner);
      return [{ configuration, item, library, path: `${owner.path}.${name}`, target: owner.values.get(name) }];
    }),
  );
}
