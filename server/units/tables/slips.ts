/** A spelling that is no unit here, what is likely meant, best first, and why. */
export interface Slip {
  readonly meant: readonly string[];
  readonly why: string;
}

const POUND = 'a pound is a mass (`lbm`) or a force (`lbf`)';
const OUNCE = 'an ounce is a mass (`ozm`) or a force (`ozf`)';
const GRAVITY = 'standard gravity is `g0` (`g` is the gram)';
const CELSIUS = 'degrees Celsius are `degC`';
const FAHRENHEIT = 'degrees Fahrenheit are `degF`';
const DOSE = 'the rad of absorbed dose is `rd` (`rad` is the angle)';
const LOGARITHM =
  'a decibel is a logarithm and no unit; write the ratio itself (3 dB is 2 in power, 1.41 in amplitude)';

/** By spelling, capitals as written. */
export const SLIPS: ReadonlyMap<string, Slip> = new Map([
  ...slips(['lb', 'lbs', 'LB', 'pound', 'pounds', '#'], ['lbm', 'lbf'], POUND),
  ...slips(['oz', 'OZ', 'ounce', 'ounces'], ['ozm', 'ozf'], OUNCE),
  ...slips(['G', 'Gs', 'gs', 'gn', 'gee', 'gees', 'grms', 'gRMS', 'Grms', 'GRMS'], ['g0'], GRAVITY),
  ...slips(['celsius', 'Celsius', 'centigrade', 'degc', 'DegC', 'deg_C', 'oC', 'ºC'], ['degC'], CELSIUS),
  ...slips(['fahrenheit', 'Fahrenheit', 'degf', 'DegF', 'deg_F', 'oF', 'ºF'], ['degF'], FAHRENHEIT),
  ...slips(['degK', '°K', 'kelvins'], ['K'], 'the kelvin is `K`'),
  ...slips(['R', 'Ra', 'rankine'], ['degR'], 'degrees Rankine are `degR`'),
  ...slips(['krad', 'kRad'], ['krd'], DOSE),
  ...slips(['Mrad', 'MRad'], ['Mrd'], DOSE),
  ...slips(['rads'], ['rad', 'rd'], DOSE),
  ...slips(['dB', 'db', 'DB'], [], LOGARITHM),
  ...slips(['inch', 'inches', 'Inch', 'IN', '"'], ['in'], 'the inch is `in`'),
  ...slips(['feet', 'FT', "'"], ['ft'], 'the foot is `ft`'),
  ...slips(['mils'], ['mil'], 'units stand in the singular'),
  ...slips(['micron', 'microns'], ['µm'], 'the micron is `µm`'),
  ...slips(['cc', 'ccm'], ['cm^3'], 'powers are written out'),
  ...slips(['sqin', 'sqm', 'sqmm', 'sqft'], [], 'an area is written `in^2`, `m^2`, `mm^2`'),
  ...slips(['sec', 'secs'], ['s'], 'the second is `s`'),
  ...slips(['mins', 'Min'], ['min'], 'the minute is `min`'),
  ...slips(['hr', 'hrs', 'Hr'], ['h'], 'the hour is `h`'),
  ...slips(['D'], ['d'], 'the day is `d`'),
  ...slips(['y', 'a', 'yrs', 'years', 'Yr'], ['yr'], 'the year is `yr`'),
  ...slips(['cps', 'CPS'], ['Hz'], 'cycles per second are `Hz`'),
  ...slips(['cycles', 'cyc'], ['cycle'], 'units stand in the singular'),
  ...slips(['octave', 'octaves', 'Oct'], ['oct'], 'the octave is `oct`'),
  ...slips(['RPM', 'Rpm', 'rpms', 'r'], ['rpm'], 'revolutions per minute are `rpm`'),
  ...slips(['gm', 'gr', 'gms'], ['g'], 'the gram is `g`'),
  ...slips(['kgs', 'kilo', 'kilos', 'KG', 'Kg'], ['kg'], 'the kilogram is `kg`'),
  ...slips(['ton', 'tons', 'tonnes', 'mt', 'MT'], ['t'], 'the tonne of 1000 kg is `t`'),
  ...slips(['blob', 'snail', 'slinches'], ['slinch'], 'lbf*s^2/in is `slinch`'),
  ...slips(['slugs'], ['slug'], 'units stand in the singular'),
  ...slips(['kips'], ['kip'], 'units stand in the singular'),
  ...slips(
    ['psia', 'psig', 'psid'],
    ['psi'],
    'a unit does not say from where it is counted; pressures here are absolute',
  ),
  ...slips(['kpsi', 'KSI', 'Ksi'], ['ksi'], 'a thousand psi is `ksi`'),
  ...slips(['Mpsi', 'msi', 'MSI'], ['Msi'], 'a million psi is `Msi`'),
  ...slips(['torr', 'TORR'], ['Torr'], 'the torr is `Torr`'),
  ...slips(['pct', 'percent'], ['%'], 'per cent is `%`'),
  ...slips(['microstrain', 'ustrain', 'µstrain', 'µε', 'με'], ['µm/m'], 'a strain is a length over a length'),
  ...slips(['strain'], ['m/m'], 'a strain is a length over a length'),
  ...slips(['kph', 'kmh'], ['km/h'], 'a quotient is written out'),
  ...slips(['fps'], ['ft/s'], 'a quotient is written out'),
  ...slips(['ips'], ['in/s'], 'a quotient is written out'),
  ...slips(['pcf'], ['lbm/ft^3'], 'a quotient is written out'),
  ...slips(['pci'], ['lbm/in^3'], 'a quotient is written out'),
  ...slips(['plf'], ['lbf/ft'], 'a quotient is written out'),
  ...slips(['pli', 'ppi'], ['lbf/in'], 'a quotient is written out'),
  ...slips(['AMU', 'amu'], [], 'atomic mass has no unit here; 1 u is 1.66053907e-27 kg'),
]);

function slips(
  spellings: readonly string[],
  meant: readonly string[],
  why: string,
): readonly (readonly [string, Slip])[] {
  return spellings.map(spelling => [spelling, { meant, why }]);
}
