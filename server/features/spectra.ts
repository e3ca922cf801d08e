import type { TableValue, Value } from '../engine/values/value.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { parseDimension } from '../units/index.js';

const FREQUENCY = parseDimension('frequency')!;

/** A table over frequency: a spectral density, a sine level, a shock response. */
export function isSpectrum(value: Value | undefined): value is TableValue {
  return value?.kind === 'table' && value.inputs.length === 1 && value.inputs[0]!.dimension === FREQUENCY;
}

/** Spectra that loads hold, by the name of the load, and of the field where it is another than `psd`. */
export function spectraOf(
  project: Project,
  loads: Iterable<Entity> = project.namespace.ofKind('load'),
): Map<string, TableValue> {
  const found = new Map<string, TableValue>();
  for (const load of loads) {
    for (const name of load.values.keys()) {
      const value = project.view.evaluation.valueOf(load, name);
      if (isSpectrum(value)) found.set(name === 'psd' ? load.path : `${load.path}.${name}`, value);
    }
  }
  return found;
}
