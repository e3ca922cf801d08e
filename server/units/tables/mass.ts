import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Mass. The avoirdupois pound is exact; the slug and the slinch follow from the pound-force. */
export const MASS: readonly UnitRow[] = [
  { symbol: 'kg', name: 'kilogram', is: dimension({ mass: 1 }) },
  { symbol: 'g', name: 'gram', is: '0.001 kg', prefixes: 'f p n µ m M' },
  { symbol: 't', name: 'tonne', is: '1000 kg' },
  { symbol: 'lbm', name: 'pound (mass)', is: '0.45359237 kg' },
  { symbol: 'ozm', name: 'ounce (mass)', is: '1/16 lbm' },
  { symbol: 'grain', name: 'grain', is: '1/7000 lbm' },
  { symbol: 'slug', name: 'slug', is: '1 lbf*s^2/ft' },
  { symbol: 'slinch', name: 'slinch, the mass unit of inch-pound decks', is: '1 lbf*s^2/in' },
  { symbol: 'mol', name: 'mole', is: dimension({ amount: 1 }), prefixes: 'n µ m k' },
];
