import type { Namespace } from '../../model/namespace.js';
import { declareUnit, isUnit, parseUnit, type Unit } from '../../units/index.js';

export type DeclaredUnits = ReadonlyMap<string, Unit>;

/** Units that a project declares; the same object as `before` while they stay the same. */
export function readDeclaredUnits(namespace: Namespace, before: DeclaredUnits): DeclaredUnits {
  const next = new Map<string, Unit>();
  for (const item of namespace.root.values.values()) {
    if (item.kind !== 'unit' || item.value.kind !== 'number' || item.value.unitText === null) continue;
    const of = parseUnit(item.value.unitText, next);
    const unit = isUnit(of) ? declareUnit(item.name, item.value.text, of) : undefined;
    if (unit) next.set(item.name, unit);
  }
  return isSame(before, next) ? before : next;
}

function isSame(before: DeclaredUnits, next: DeclaredUnits): boolean {
  return (
    next.size === before.size &&
    [...next].every(([name, unit]) => {
      const known = before.get(name);
      return known?.factor === unit.factor && known.dimension === unit.dimension;
    })
  );
}
