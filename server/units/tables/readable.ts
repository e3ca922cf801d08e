/** What a result is printed in when nobody asked for a unit. */
export interface ReadableRow {
  /** Name of the dimension, as in a type annotation. */
  readonly of: string;
  /** For zero. */
  readonly usual: string;
  /** Unit and the SI value from which it is used, ascending. */
  readonly steps: readonly (readonly [string, number])[];
}

export const READABLE: readonly ReadableRow[] = [
  { of: 'length', usual: 'mm', steps: [['nm', 0], ['µm', 1e-6], ['mm', 1e-5], ['m', 1], ['km', 1e4]] },
  { of: 'area', usual: 'mm^2', steps: [['mm^2', 0], ['m^2', 0.1]] },
  { of: 'volume', usual: 'mm^3', steps: [['mm^3', 0], ['cm^3', 1e-5], ['m^3', 0.1]] },
  { of: 'area_moment', usual: 'mm^4', steps: [['mm^4', 0], ['m^4', 1e-2]] },
  { of: 'warping_constant', usual: 'mm^6', steps: [['mm^6', 0], ['m^6', 1e-6]] },
  { of: 'curvature', usual: '1/m', steps: [['1/m', 0]] },
  { of: 'mass', usual: 'kg', steps: [['mg', 0], ['g', 1e-3], ['kg', 1]] },
  { of: 'density', usual: 'kg/m^3', steps: [['kg/m^3', 0]] },
  { of: 'areal_density', usual: 'kg/m^2', steps: [['kg/m^2', 0]] },
  { of: 'linear_density', usual: 'kg/m', steps: [['kg/m', 0]] },
  { of: 'inertia', usual: 'kg*m^2', steps: [['kg*m^2', 0]] },
  { of: 'time', usual: 's', steps: [['µs', 0], ['ms', 1e-3], ['s', 1], ['min', 300], ['h', 7200], ['d', 172800], ['yr', 63115200]] },
  { of: 'frequency', usual: 'Hz', steps: [['Hz', 0], ['kHz', 1e4], ['MHz', 1e6], ['GHz', 1e9]] },
  { of: 'angular_acceleration', usual: '1/s^2', steps: [['1/s^2', 0]] },
  { of: 'speed', usual: 'm/s', steps: [['mm/s', 0], ['m/s', 0.1], ['km/s', 1e4]] },
  { of: 'acceleration', usual: 'm/s^2', steps: [['m/s^2', 0]] },
  { of: 'spectral_density', usual: 'g0^2/Hz', steps: [['g0^2/Hz', 0]] },
  { of: 'force', usual: 'N', steps: [['mN', 0], ['N', 0.1], ['kN', 1e4], ['MN', 1e7]] },
  { of: 'torque', usual: 'N*m', steps: [['N*mm', 0], ['N*m', 0.1], ['kN*m', 1e4]] },
  { of: 'power', usual: 'W', steps: [['mW', 0], ['W', 0.1], ['kW', 1e4], ['MW', 1e7]] },
  { of: 'momentum', usual: 'N*s', steps: [['N*s', 0]] },
  { of: 'angular_momentum', usual: 'N*m*s', steps: [['N*m*s', 0]] },
  { of: 'pressure', usual: 'MPa', steps: [['Pa', 0], ['kPa', 1e3], ['MPa', 1e5], ['GPa', 1e10]] },
  { of: 'stiffness', usual: 'N/m', steps: [['N/m', 0], ['N/mm', 1e4], ['kN/mm', 1e7]] },
  { of: 'bending_stiffness', usual: 'N*m^2', steps: [['N*m^2', 0]] },
  { of: 'compliance', usual: 'mm/N', steps: [['mm/N', 0]] },
  { of: 'damping', usual: 'kg/s', steps: [['kg/s', 0]] },
  { of: 'toughness', usual: 'MPa*m^(1/2)', steps: [['MPa*m^(1/2)', 0]] },
  { of: 'viscosity', usual: 'Pa*s', steps: [['mPa*s', 0], ['Pa*s', 1]] },
  { of: 'diffusivity', usual: 'm^2/s', steps: [['m^2/s', 0]] },
  { of: 'temperature', usual: 'K', steps: [['K', 0]] },
  { of: 'expansion', usual: '1/K', steps: [['1/K', 0]] },
  { of: 'conductivity', usual: 'W/(m*K)', steps: [['W/(m*K)', 0]] },
  { of: 'conductance', usual: 'W/K', steps: [['W/K', 0]] },
  { of: 'heat_transfer', usual: 'W/(m^2*K)', steps: [['W/(m^2*K)', 0]] },
  { of: 'heat_flux', usual: 'W/m^2', steps: [['W/m^2', 0]] },
  { of: 'heat_capacity', usual: 'J/K', steps: [['J/K', 0]] },
  { of: 'specific_heat', usual: 'J/(kg*K)', steps: [['J/(kg*K)', 0]] },
  { of: 'dose', usual: 'J/kg', steps: [['J/kg', 0], ['kJ/kg', 1e4], ['MJ/kg', 1e7]] },
  { of: 'fluence', usual: '1/cm^2', steps: [['1/cm^2', 0]] },
  { of: 'flux', usual: '1/(cm^2*s)', steps: [['1/(cm^2*s)', 0]] },
  { of: 'current', usual: 'A', steps: [['µA', 0], ['mA', 1e-3], ['A', 1]] },
  { of: 'charge', usual: 'C', steps: [['pC', 0], ['nC', 1e-9], ['µC', 1e-6], ['mC', 1e-3], ['C', 1]] },
  { of: 'voltage', usual: 'V', steps: [['mV', 0], ['V', 1], ['kV', 1e4]] },
  { of: 'resistance', usual: 'Ω', steps: [['mΩ', 0], ['Ω', 1], ['kΩ', 1e4], ['MΩ', 1e6]] },
  { of: 'resistivity', usual: 'Ω*m', steps: [['Ω*m', 0]] },
  { of: 'electrical_conductance', usual: 'S', steps: [['µS', 0], ['mS', 1e-3], ['S', 1]] },
  { of: 'capacitance', usual: 'F', steps: [['pF', 0], ['nF', 1e-9], ['µF', 1e-6], ['mF', 1e-3], ['F', 1]] },
  { of: 'inductance', usual: 'H', steps: [['µH', 0], ['mH', 1e-3], ['H', 1]] },
  { of: 'magnetic_flux', usual: 'Wb', steps: [['Wb', 0]] },
  { of: 'magnetic_field', usual: 'T', steps: [['µT', 0], ['mT', 1e-3], ['T', 1]] },
  { of: 'amount', usual: 'mol', steps: [['mol', 0]] },
  { of: 'luminosity', usual: 'cd', steps: [['cd', 0]] },
];

/** Compound units offered in completion beside the units of the tables and those above. */
export const USUAL_COMPOUNDS: readonly string[] = [
  'in^2', 'ft^2', 'cm^2', 'in^3', 'ft^3', 'in^4', 'cm^4',
  'm/s^2', 'ft/s^2', 'in/s^2', 'mm/s', 'in/s', 'ft/s', 'km/h',
  'g/cm^3', 'lbm/in^3', 'lbm/ft^3', 'g/m^2', 'lbm/ft^2', 'g*mm^2', 'lbm*in^2', 'slug*ft^2',
  'lbf*in', 'lbf*ft', 'ozf*in', 'lbf/in', 'lbf/ft', 'N/mm', 'N/mm^2', 'kgf/cm^2', 'lbf*s', 'lbf*in^2',
  'ksi*in^(1/2)', '(m/s^2)^2/Hz', 'rad/s', 'deg/s', 'rad/s^2', 'deg/s^2', 'oct/min',
  '1/degC', '1/degF', 'ppm/K', 'µm/(m*K)', 'BTU/(h*ft*degF)', 'BTU*in/(h*ft^2*degF)', 'W/cm^2', 'mW/cm^2', 'BTU/(lbm*degF)', 'J/(g*K)',
  'µm/m', 'mm/m', '1/cm^2', '1/(cm^2*s)', 'rd/s', 'Gy/yr', 'cycle/s', 'Torr*L/s', 'g/s',
];
