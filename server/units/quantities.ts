import type { Dimension, Exponent } from './dimensions/dimension.js';
import {
  BASE_QUANTITIES,
  DIMENSIONLESS,
  add,
  dimension,
  divide,
  exponentBetween,
  multiply,
  power,
  reduced,
} from './dimensions/dimension.js';

export const LENGTH = dimension({ length: 1 });
export const MASS = dimension({ mass: 1 });
export const TIME = dimension({ time: 1 });
export const CURRENT = dimension({ current: 1 });
export const TEMPERATURE = dimension({ temperature: 1 });
export const AMOUNT = dimension({ amount: 1 });
export const LUMINOSITY = dimension({ luminosity: 1 });

export const AREA = power(LENGTH, 2);
export const VOLUME = power(LENGTH, 3);
export const FREQUENCY = power(TIME, -1);
export const SPEED = divide(LENGTH, TIME);
export const ACCELERATION = divide(SPEED, TIME);
export const FORCE = multiply(MASS, ACCELERATION);
export const PRESSURE = divide(FORCE, AREA);
export const TORQUE = multiply(FORCE, LENGTH);
export const POWER = divide(TORQUE, TIME);
export const DOSE = power(SPEED, 2);
export const CHARGE = multiply(CURRENT, TIME);
export const VOLTAGE = divide(POWER, CURRENT);
export const RESISTANCE = divide(VOLTAGE, CURRENT);
export const DENSITY = divide(MASS, VOLUME);

/** A name that a type annotation may use. */
export interface NamedQuantity {
  readonly name: string;
  readonly dimension: Dimension;
  /** One line for completion and hovers. */
  readonly doc: string;
  /** How a message says it, where that is not the name with spaces. */
  readonly spoken?: string;
}

function named(name: string, of: Dimension, doc: string, spoken?: string): NamedQuantity {
  return spoken === undefined ? { name, dimension: of, doc } : { name, dimension: of, doc, spoken };
}

/** The names of dimensions, usual ones first: of several names for one dimension the first is spoken. */
export const NAMED_QUANTITIES: readonly NamedQuantity[] = [
  named('number', DIMENSIONLESS, 'A pure number: a ratio, a count, a strain.'),
  named('angle', DIMENSIONLESS, 'An angle; in radians a pure number.'),
  named('ratio', DIMENSIONLESS, 'A ratio of two like quantities.'),
  named('strain', DIMENSIONLESS, 'Change of length over length.'),
  named('length', LENGTH, 'A length, thickness, displacement (m).'),
  named('area', AREA, 'An area (m^2).'),
  named('volume', VOLUME, 'A volume (m^3).'),
  named('section_modulus', VOLUME, 'Section modulus (m^3): bending moment over stress.'),
  named('area_moment', power(LENGTH, 4), 'Second moment of area (m^4).', 'second moment of area'),
  named('warping_constant', power(LENGTH, 6), 'Warping constant of a thin-walled section (m^6).', 'length⁶'),
  named('curvature', power(LENGTH, -1), 'One over a radius (1/m).', '1 / length'),
  named('mass', MASS, 'A mass (kg).'),
  named('density', DENSITY, 'Mass per volume (kg/m^3).'),
  named('areal_density', divide(MASS, AREA), 'Mass per area (kg/m^2).', 'mass per area'),
  named('linear_density', divide(MASS, LENGTH), 'Mass per length (kg/m).', 'mass per length'),
  named('inertia', multiply(MASS, AREA), 'Mass moment of inertia (kg*m^2).', 'moment of inertia'),
  named('time', TIME, 'A time (s).'),
  named('duration', TIME, 'A duration, a life (s).'),
  named('frequency', FREQUENCY, 'Cycles per time (Hz).'),
  named('angular_speed', FREQUENCY, 'Angle per time (rad/s).'),
  named('angular_acceleration', power(TIME, -2), 'Angle per time squared (rad/s^2).', '1 / time²'),
  named('speed', SPEED, 'Length per time (m/s).'),
  named('velocity', SPEED, 'Length per time (m/s).'),
  named('acceleration', ACCELERATION, 'Speed per time (m/s^2); g0 is standard gravity.'),
  named(
    'spectral_density',
    divide(power(ACCELERATION, 2), FREQUENCY),
    'Acceleration spectral density (g0^2/Hz).',
    'acceleration² / frequency',
  ),
  named('force', FORCE, 'A force (N).'),
  named('torque', TORQUE, 'A torque (N*m).', 'torque or energy'),
  named('moment', TORQUE, 'A bending moment (N*m).'),
  named('energy', TORQUE, 'An energy (J).'),
  named('work', TORQUE, 'A work (J).'),
  named('power', POWER, 'Energy per time (W).'),
  named('momentum', multiply(MASS, SPEED), 'Mass times speed, an impulse (N*s).'),
  named('impulse', multiply(MASS, SPEED), 'Force times time (N*s).'),
  named('angular_momentum', multiply(TORQUE, TIME), 'Moment of inertia times angular speed (N*m*s).'),
  named('pressure', PRESSURE, 'Force per area (Pa).', 'pressure or stress'),
  named('stress', PRESSURE, 'Force per area (MPa).'),
  named('modulus', PRESSURE, 'Modulus of elasticity (GPa).'),
  named('stiffness', divide(FORCE, LENGTH), 'Force per displacement (N/m).', 'stiffness or line load'),
  named('line_load', divide(FORCE, LENGTH), 'Force per length (N/m).'),
  named('rotational_stiffness', TORQUE, 'Torque per angle (N*m/rad).'),
  named('bending_stiffness', multiply(FORCE, AREA), 'Modulus times second moment of area (N*m^2).', 'force × length²'),
  named('compliance', divide(LENGTH, FORCE), 'Displacement per force (m/N).'),
  named('damping', divide(FORCE, SPEED), 'Force per speed (N*s/m).', 'mass / time'),
  named('mass_flow', divide(MASS, TIME), 'Mass per time (kg/s).'),
  named('toughness', multiply(PRESSURE, power(LENGTH, 1, 2)), 'Stress intensity (MPa*m^(1/2)).', 'stress intensity'),
  named('viscosity', multiply(PRESSURE, TIME), 'Dynamic viscosity (Pa*s).'),
  named('diffusivity', divide(AREA, TIME), 'Diffusivity, kinematic viscosity (m^2/s).', 'area / time'),
  named('volume_flow', divide(VOLUME, TIME), 'Volume per time (m^3/s).', 'volume / time'),
  named('temperature', TEMPERATURE, 'A temperature, or a difference of two (K).'),
  named('expansion', power(TEMPERATURE, -1), 'Coefficient of thermal expansion (1/K).', 'thermal expansion'),
  named(
    'conductivity',
    divide(POWER, multiply(LENGTH, TEMPERATURE)),
    'Thermal conductivity (W/(m*K)).',
    'thermal conductivity',
  ),
  named('conductance', divide(POWER, TEMPERATURE), 'Thermal conductance (W/K).', 'thermal conductance'),
  named('heat_transfer', divide(POWER, multiply(AREA, TEMPERATURE)), 'Heat transfer coefficient (W/(m^2*K)).'),
  named(
    'thermal_resistance',
    divide(TEMPERATURE, POWER),
    'Temperature difference per power (K/W).',
    'temperature / power',
  ),
  named(
    'thermal_insulance',
    divide(multiply(AREA, TEMPERATURE), POWER),
    'Temperature difference per heat flux (K*m^2/W).',
  ),
  named('heat_flux', divide(POWER, AREA), 'Power per area (W/m^2).', 'power per area'),
  named('heat_capacity', divide(TORQUE, TEMPERATURE), 'Energy per temperature (J/K).'),
  named('specific_heat', divide(TORQUE, multiply(MASS, TEMPERATURE)), 'Energy per mass and temperature (J/(kg*K)).'),
  named('dose', DOSE, 'Absorbed dose (Gy): energy per mass.', 'dose or energy per mass'),
  named('fluence', power(LENGTH, -2), 'Particles per area (1/m^2).', 'number per area'),
  named(
    'flux',
    divide(power(LENGTH, -2), TIME),
    'Particles per area and time (1/(m^2*s)).',
    'number per area and time',
  ),
  named('current', CURRENT, 'Electric current (A).'),
  named('charge', CHARGE, 'Electric charge (C).'),
  named('voltage', VOLTAGE, 'Electric voltage (V).'),
  named('resistance', RESISTANCE, 'Electric resistance (Ω).'),
  named('resistivity', multiply(RESISTANCE, LENGTH), 'Electric resistivity (Ω*m).'),
  named('electrical_conductance', power(RESISTANCE, -1), 'Electric conductance (S).'),
  named('capacitance', divide(CHARGE, VOLTAGE), 'Electric capacitance (F).'),
  named('inductance', multiply(RESISTANCE, TIME), 'Inductance (H).'),
  named('magnetic_flux', multiply(VOLTAGE, TIME), 'Magnetic flux (Wb).'),
  named('magnetic_field', divide(multiply(VOLTAGE, TIME), AREA), 'Magnetic flux density (T).'),
  named('amount', AMOUNT, 'Amount of substance (mol).'),
  named('luminosity', LUMINOSITY, 'Luminous intensity (cd).', 'luminous intensity'),
];

const byName = new Map(NAMED_QUANTITIES.map(quantity => [quantity.name, quantity]));
const spoken = new Map<Dimension, string>();
for (const quantity of NAMED_QUANTITIES) {
  if (!spoken.has(quantity.dimension))
    spoken.set(quantity.dimension, quantity.spoken ?? quantity.name.replaceAll('_', ' '));
}

/** The dimension a type annotation names (`length`, `area_moment`), or undefined. */
export function parseDimension(name: string): Dimension | undefined {
  return byName.get(name)?.dimension;
}

/** A dimension as an engineer says it: `force`, `pressure × length`, `acceleration² / frequency`. */
export function dimensionName(of: Dimension): string {
  let name = spoken.get(of);
  if (name === undefined) {
    name = spell(decomposed(of.exponents));
    spoken.set(of, name);
  }
  return name;
}

interface NamedFactor {
  readonly name: string;
  readonly exponent: Exponent;
  /** Place among the building blocks. */
  readonly rank: number;
}

type BuildingBlock = readonly [name: string, dimension: Dimension];

/** What compound names are made of, the more telling ones first. */
const BUILDING_BLOCKS: readonly BuildingBlock[] = [
  ['acceleration', ACCELERATION],
  ['force', FORCE],
  ['pressure', PRESSURE],
  ['length', LENGTH],
  ['mass', MASS],
  ['time', TIME],
  ['temperature', TEMPERATURE],
  ['frequency', FREQUENCY],
  ['speed', SPEED],
  ['energy', TORQUE],
  ['power', POWER],
  ['current', CURRENT],
  ['voltage', VOLTAGE],
  ['amount', AMOUNT],
  ['luminous intensity', LUMINOSITY],
];

const FIRST_EXPONENTS: readonly Exponent[] = [
  ...[1, -1, 2, -2, 3, -3, 4, -4].map(num => reduced(num, 1)),
  ...[1, -1, 3, -3].map(num => reduced(num, 2)),
];

/** The shortest product of one or two building blocks, else of base quantities. */
function decomposed(exponents: readonly Exponent[]): readonly NamedFactor[] {
  const single = BUILDING_BLOCKS.flatMap((block, rank) => asPower(block, rank, exponents));
  const pairs = BUILDING_BLOCKS.flatMap(([name, block], rank) =>
    FIRST_EXPONENTS.flatMap(exponent => {
      const rest = exponents.map((own, index) => {
        const { num, den } = block.exponents[index]!;
        return add(own, reduced(num * exponent.num, den * exponent.den), -1);
      });
      return BUILDING_BLOCKS.flatMap((other, otherRank) =>
        asPower(other, otherRank, rest).map(([second]) => [{ name, exponent, rank }, second]),
      );
    }),
  );
  const bases = exponents.flatMap((exponent, index) =>
    exponent.num === 0 ? [] : [{ name: BASE_QUANTITIES[index]!, exponent, rank: BUILDING_BLOCKS.length }],
  );
  return [...single, ...pairs, bases].reduce((best, next) => (cost(next) < cost(best) ? next : best));
}

function asPower(
  [name, block]: BuildingBlock,
  rank: number,
  exponents: readonly Exponent[],
): readonly (readonly [NamedFactor])[] {
  const exponent = exponentBetween(exponents, block.exponents);
  return exponent === undefined || exponent.num === 0 ? [] : [[{ name, exponent, rank }]];
}

function cost(factors: readonly NamedFactor[]): number {
  return factors.reduce(
    (sum, { exponent, rank }) => sum + 2 + Math.abs(exponent.num) + 2 * (exponent.den - 1) + rank / 5,
    0,
  );
}

function spell(factors: readonly NamedFactor[]): string {
  const above = factors.filter(({ exponent }) => exponent.num > 0).map(factor => raisedName(factor));
  const below = factors.filter(({ exponent }) => exponent.num < 0).map(factor => raisedName(factor));
  const numerator = above.length === 0 ? '1' : above.join(' × ');
  if (below.length === 0) return numerator;
  return `${numerator} / ${below.length === 1 ? below[0] : `(${below.join(' × ')})`}`;
}

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';

function raisedName({ name, exponent }: NamedFactor): string {
  const size = Math.abs(exponent.num);
  if (exponent.den !== 1) return `${name}^(${size}/${exponent.den})`;
  return size === 1 ? name : name + [...`${size}`].map(digit => SUPERSCRIPTS[Number(digit)]).join('');
}
