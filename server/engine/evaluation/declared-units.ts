import type { Namespace } from '../../model/namespace.js';
import { declareUnit, isUnit, parseUnit, type Unit } from '../../units/index.js';

export type DeclaredUnits = ReadonlyMap<string, Unit>;

/**
 * Units that a project and its libraries declare; the same object as `before` while they stay the same. One that two of
 * them declare differently is none.
 */
export function readDeclaredUnits(namespace: Namespace, before: DeclaredUnits): DeclaredUnits {
  const next = new Map<string, Unit>();
  const differing = new Set<string>();
  for (const top of namespace.tops) {
    const own = new Map<string, Unit>();
    for (const item of top.values.values()) {
      if (item.kind !== 'unit' || item.value.kind !== 'number' || item.value.unitText === null) continue;
      const of = parseUnit(item.value.unitText, new Map([...next, ...own]));
      const unit = isUnit(of) ? declareUnit(item.name, item.value.text, of) : undefined;
      if (unit) own.set(item.name, unit);
    }
    for (const [name, unit] of own) {
      const known = next.get(name);
      if (known && !isAlike(known, unit)) differing.add(name);
      next.set(name, unit);
    }
  }
  for (const name of differing) next.delete(name);
  return isSame(before, next) ? before : next;
}

function isAlike(one: Unit | undefined, other: Unit): boolean {
  return one?.factor === other.factor && one.dimension === other.dimension;
}

function isSame(before: DeclaredUnits, next: DeclaredUnits): boolean {
  return next.size === before.size && [...next].every(([name, unit]) => isAlike(before.get(name), unit));
}
