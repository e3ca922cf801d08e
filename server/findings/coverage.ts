/** What the checks of each part cover: loads, environments, temperatures at which its materials are asked. */
import { printQuantity } from '../engine/describe.js';
import { factsOf } from '../engine/facts.js';
import { isTemplate } from '../engine/verification-index.js';
import type { Evaluation } from '../engine/evaluation.js';
import type { Origin, TableValue, Value } from '../engine/value.js';
import type { Entity } from '../model/namespace.js';
import { TEMPERATURE } from '../units/index.js';
import type { ProjectView } from './rule.js';

export interface Coverage {
  readonly loads: Set<Entity>;
  readonly environments: Set<Entity>;
  /** Tables over temperature, with the temperatures (K) that they are asked at. */
  readonly asked: Map<Origin, number[]>;
}

const kept = new WeakMap<
  ProjectView,
  { readonly revision: number; readonly coverage: ReadonlyMap<Entity, Coverage> }
>();

/** Parts that have requirements, with what the checks of those cover. */
export function coverageOfParts(view: ProjectView): ReadonlyMap<Entity, Coverage> {
  const known = kept.get(view);
  if (known?.revision === view.revision) return known.coverage;
  const coverage = findCoverage(view);
  kept.set(view, { revision: view.revision, coverage });
  return coverage;
}

function findCoverage(view: ProjectView): Map<Entity, Coverage> {
  const found = new Map<Entity, Coverage>();
  const { evaluation, verification } = view.configurations[0]!;
  for (const requirement of verification.index.requirements) {
    const { part } = requirement;
    if (!part || isTemplate(part)) continue;
    const coverage = found.get(part) ?? { loads: new Set(), environments: new Set(), asked: new Map() };
    found.set(part, coverage);
    for (let i = 1; i <= requirement.checks.length; i++) {
      const cell = evaluation.cell(requirement, `check ${i}`);
      if (!cell) continue;
      const facts = factsOf(evaluation, cell);
      for (const load of facts.loads) coverage.loads.add(load);
      for (const { entity } of facts.values) if (entity.kind === 'environment') coverage.environments.add(entity);
      for (const { origin, inputs } of facts.asked) {
        if (!overTemperature(evaluation, origin)) continue;
        coverage.asked.set(origin, [
          ...(coverage.asked.get(origin) ?? []),
          ...inputs.map(input => evaluation.number(input)).filter(Number.isFinite),
        ]);
      }
    }
  }
  return found;
}

/** The table over temperature that a material states there; undefined where it is none. */
export function overTemperature(evaluation: Evaluation, { entity, item, path }: Origin): TableValue | undefined {
  let value: Value | undefined = evaluation.valueOf(entity, item.name);
  for (const name of path) value = value?.kind === 'record' ? value.entries.get(name) : undefined;
  return value?.kind === 'table' &&
    value.inputs.length === 1 &&
    value.inputs[0]!.point &&
    value.inputs[0]!.dimension === TEMPERATURE
    ? value
    : undefined;
}

export function printTemperature(kelvin: number): string {
  return printQuantity(kelvin, TEMPERATURE, null, true, null);
}

/** Whether the part, what it stands in or its kind says `exempt … because`. */
export function isExempt(part: Entity, from: Entity, view: ProjectView): boolean {
  for (let at: Entity | null = part; at; at = at.parent) {
    for (const holder of [at, at.base])
      if (
        holder?.declaration.exempt.some(exempt =>
          exempt.targets.some(target => view.namespace.resolvePath(target.path, part) === from),
        )
      )
        return true;
  }
  return false;
}

const MOST_NAMED = 5;

/** The first few parts by name, and how many more. */
export function nameParts(parts: readonly Entity[]): string {
  return `${parts
    .slice(0, MOST_NAMED)
    .map(part => part.path)
    .join(', ')}${parts.length > MOST_NAMED ? ` and ${parts.length - MOST_NAMED} more` : ''}`;
}
