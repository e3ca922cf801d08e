import { printQuantity } from '../../../engine/describe.js';
import type { Evaluation } from '../../../engine/evaluation/evaluation.js';
import { lookup } from '../../../engine/table.js';
import type { TableValue } from '../../../engine/value.js';
import type { Entity } from '../../../model/namespace.js';
import { coverageByConfiguration, isExempt, overTemperature, printTemperature, type Coverage } from '../../coverage.js';
import { at, rule, type ProjectView } from '../../rule.js';

/** Rounding of a calculated temperature is no weaker material. */
const SAME = 1e-9;

/** A temperature of a load where a material gives less than at any temperature that the part's checks ask it at. */
export default rule({
  code: 'temperature-not-swept',
  severity: 'information',
  title: 'A temperature of a load that no check of a part sweeps',
  message:
    '{part} is checked against {load}, which acts at {temperature} too: there {property} is {value}, less than at any temperature the checks ask for ({asked}). Sweep T in knots({load}.temperature), or say in the part: exempt {load} because "…".',
  onProject(report, view): void {
    const told = new Set<string>();
    for (const { evaluation, parts } of coverageByConfiguration(view)) {
      for (const [part, coverage] of parts) {
        for (const hole of holesOf(part, coverage, evaluation, view)) {
          // What the configurations share is told once.
          const key = JSON.stringify(hole);
          if (told.has(key)) continue;
          told.add(key);
          report({ code: 'temperature-not-swept', place: at(part.declaration), data: { ...hole } });
        }
      }
    }
  },
});

/** What is told of a temperature that is left out. */
type Hole = Readonly<Record<'part' | 'load' | 'property' | 'temperature' | 'value' | 'asked', string>>;

function holesOf(part: Entity, { loads, asked }: Coverage, evaluation: Evaluation, view: ProjectView): Hole[] {
  return [...asked].flatMap(([origin, temperatures]) => {
    const table = overTemperature(evaluation, origin);
    if (!table || temperatures.length === 0) return [];
    const property = [origin.entity.name, origin.item.name, ...origin.path].join('.');
    return [...loads].flatMap(load => {
      const weaker = weakestBeyond(evaluation, table, load, temperatures);
      if (!weaker || isExempt(part, load, view)) return [];
      const { output } = table;
      const value = printQuantity(weaker.value, output.dimension, output.unit, output.point, null);
      const temperature = printTemperature(weaker.temperature);
      return [{ part: part.path, load: load.name, property, temperature, value, asked: rangeOf(temperatures) }];
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
