import type { Value } from '../../engine/values/value.js';
import { BASE_QUANTITIES, NAMED_QUANTITIES, parseDimension, type Dimension } from '../../units/index.js';

const TEMPERATURE = parseDimension('temperature');

/** The type of a parameter that takes a value, `pressure`; null where a number's dimension can't be written as one. */
export function typeOfQuantity(value: Value | undefined): string | null {
  if (value?.kind !== 'quantity') return null;
  if (value.dimension === TEMPERATURE) return value.point ? 'temperature' : 'temperature_difference';
  return typeName(value.dimension);
}

/** The name of a dimension, else the product of base quantities. */
function typeName(dimension: Dimension): string | null {
  const named = NAMED_QUANTITIES.find(quantity => quantity.dimension === dimension);
  if (named) return named.name;
  const terms = BASE_QUANTITIES.map((name, i) => ({ name, ...dimension.exponents[i]! })).filter(({ num }) => num !== 0);
  if (terms.some(({ den }) => den !== 1)) return null;
  const spelt = ({ name, num }: { name: string; num: number }): string =>
    Math.abs(num) === 1 ? name : `${name}^${Math.abs(num)}`;
  const above =
    terms
      .filter(({ num }) => num > 0)
      .map(spelt)
      .join('*') || 'number';
  return (
    above +
    terms
      .filter(({ num }) => num < 0)
      .map(term => `/${spelt(term)}`)
      .join('')
  );
}
