/** Which configurations are evaluated, and what each of them overrides. */
import type { Overrides } from '../engine/evaluation/overlay.js';
import type { ValueItem } from '../model/declaration.js';
import type { Expression } from '../model/expression.js';
import type { Entity, Namespace } from '../model/namespace.js';
import { declared } from '../model/statements.js';

/** Flight configurations (or those asked for) with their overrides; the base model where there are none. */
export function wantedConfigurations(
  namespace: Namespace,
  asked: readonly string[] | undefined,
): Map<string | null, Overrides> {
  const all = namespace.ofKind('configuration');
  const chosen = asked
    ? all.filter(entity => asked.includes(entity.name))
    : all.filter(entity => !declared(entity, 'configuration').study);
  if (chosen.length === 0) return new Map([[null, new Map()]]);
  return new Map(chosen.map(entity => [entity.name, overridesOf(namespace, entity)]));
}

/** What a configuration and those it adds up override; a later one wins. */
function overridesOf(namespace: Namespace, configuration: Entity): Overrides {
  const overrides = new Map<Entity, Map<string, { item: ValueItem; scope: Entity }>>();
  for (const entity of summands(namespace, configuration, new Set())) {
    for (const item of entity.declaration.values) {
      const target = namespace.resolvePath(item.path.slice(0, -1), namespace.root);
      if (!target) continue;
      const names = overrides.get(target) ?? new Map<string, { item: ValueItem; scope: Entity }>();
      names.set(item.path[item.path.length - 1]!, { item, scope: entity });
      overrides.set(target, names);
    }
  }
  return overrides;
}

function summands(namespace: Namespace, configuration: Entity, seen: Set<Entity>): Entity[] {
  if (seen.has(configuration)) return [];
  seen.add(configuration);
  const names: string[] = [];
  const visit = (e: Expression): void => {
    if (e.kind === 'name') names.push(e.name);
    else if (e.kind === 'binary' && e.operator === '+') {
      visit(e.left);
      visit(e.right);
    }
  };
  if (configuration.declaration.value) visit(configuration.declaration.value.value);
  const parts = names
    .map(name => [...namespace.named(name)].find(entity => entity.kind === 'configuration'))
    .filter(entity => entity !== undefined);
  return [...parts.flatMap(part => summands(namespace, part, seen)), configuration];
}
