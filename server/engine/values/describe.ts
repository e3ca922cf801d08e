/** Values and entities in the engineer's words. */
import type { Entity } from '../../model/namespace.js';
import { dimensionName, formatQuantity, type Dimension, type Unit } from '../../units/index.js';
import type { EntityValue, Quantity, Value } from './value.js';

export function entityValue(entity: Entity): EntityValue {
  return { kind: 'entity', entity };
}

export function titleOf(entity: Entity): string {
  return entity.title?.segments.map(segment => (typeof segment === 'string' ? segment : '')).join('') ?? '';
}

export function isLoad(value: Value): boolean {
  return (
    value.kind === 'load' || (value.kind === 'entity' && (value.entity.kind === 'load' || value.entity.kind === 'case'))
  );
}

export function dimensionWords(quantity: Quantity): string {
  return quantity.point ? 'a point of temperature' : dimensionName(quantity.dimension);
}

export function printQuantity(
  value: number,
  dimension: Dimension,
  unit: Unit | null,
  point: boolean,
  digits: number | null,
): string {
  if (value !== value) return '?';
  return formatQuantity(value, dimension, { ...(unit ? { unit } : {}), ...(digits !== null ? { digits } : {}), point });
}
