import { printQuantity } from '../../../engine/values/describe.js';
import type { Evaluation } from '../../../engine/evaluation/evaluation.js';
import { lookup } from '../../../engine/operations/table.js';
import type { TableValue } from '../../../engine/values/value.js';
import { byPlace, type Entity } from '../../../model/namespace.js';
import { coverageByConfiguration, isExempt, overTemperature, printTemperature, type Coverage } from '../../coverage.js';
import { at, rule, type ProjectView } from '../../rule.js';

/** Rounding of a calculated temperature is no weaker material. */
const SAME = 1e-9;

/** Temperatures of loads where a material gives less than at any temperature that the part's checks ask it at. */
export default rule({
  code: 'temperature-not-swept',
  severity: 'information',
  title: 'A temperature of a load that no check of a part sweeps',
  message:
    '{part} is checked against {loads}, and not at all temperatures at which {they}: {weaker}. Sweep T in knots({load}.temperature), or say in the part: exempt {loads} because "…".',
  onProject(report, view): void {
    const told = new Set<string>();
    for (const { evaluation, parts } of coverageByConfiguration(view)) {
      for (const [part, coverage] of parts) {
        const holes = holesOf(part, coverage, evaluation, view);
        if (holes.length === 0) continue;
        const data = dataOf(part, holes);
        // What the configurations share is told once.
        const key = JSON.stringify(data);
        if (told.has(key)) continue;
        told.add(key);
        report({ code: 'temperature-not-swept', place: at(part.declaration), data });
      }
    }
  },
});

/** A material property that is less at a temperature of a load than wherever it is asked. */
interface Hole {
  readonly load: string;
  readonly property: string;
  /** In words, with the temperature. */
  readonly weaker: string;
  readonly value: number;
}

/** A part once, with the loads that leave something out, and each property where it is least. */
function dataOf(part: Entity, holes: readonly Hole[]): Record<string, string> {
  const loads = [...new Set(holes.map(({ load }) => load))];
  const least = new Map<string, Hole>();
  for (const hole of holes)
    if (hole.value < (least.get(hole.property)?.value ?? Infinity)) least.set(hole.property, hole);
  return {
    part: part.path,
    load: loads[0]!,
    loads: loads.join(', '),
    they: loads.length === 1 ? 'it acts' : 'they act',
    weaker: [...least.values()].map(({ weaker }) => weaker).join('; '),
  };
}

function holesOf(part: Entity, { loads, asked }: Coverage, evaluation: Evaluation, view: ProjectView): Hole[] {
  return [...asked].flatMap(([origin, temperatures]) => {
    const table = overTemperature(evaluation, origin);
    if (!table || temperatures.length === 0) return [];
    const property = [origin.entity.name, origin.item.name, ...origin.path].join('.');
    return [...loads].sort(byPlace).flatMap(load => {
      const weaker = weakestBeyond(evaluation, table, load, temperatures);
      if (!weaker || isExempt(part, load, view)) return [];
      const { output } = table;
      const value = printQuantity(weaker.value, output.dimension, output.unit, output.point, null);
      const said = `${property} is ${value} at ${printTemperature(weaker.temperature)}, less than wherever it is asked (${rangeOf(temperatures)})`;
      return [{ load: load.name, property, weaker: said, value: weaker.value }];
    });
  });
}

function weakestBeyond(
  evaluation: Evaluation,
  table: TableValue,
  load: Entity,
  asked: readonly number[],
): { temperature: number; value: number } | null {
  const range = load.values.has('temperature') ? evaluation.valueOf(load, 'temperature') : undefined;
  if (range?.kind !== 'range') return null;
  const [low, high] = [evaluation.number(range.low.node), evaluation.number(range.high.node)];
  const inside = [low, ...(table.data.keys as Float64Array).filter(key => key > low && key < high), high];
  const [least] = inside
    .map(temperature => ({ temperature, value: lookup(table.data, temperature) }))
    .filter(({ value }) => Number.isFinite(value))
    .sort((x, y) => x.value - y.value);
  if (!least) return null;
  const covered = Math.min(...asked.map(temperature => lookup(table.data, temperature)).filter(Number.isFinite));
  return least.value < covered - SAME * Math.abs(covered) ? least : null;
}

function rangeOf(temperatures: readonly number[]): string {
  return [...new Set([Math.min(...temperatures), Math.max(...temperatures)])].map(printTemperature).join(' to ');
}
