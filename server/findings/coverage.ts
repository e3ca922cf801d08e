/** What the checks of each part cover: loads, environments, temperatures at which its materials are asked. */
import { printQuantity } from '../engine/values/describe.js';
import { factsOf } from '../engine/facts.js';
import { isTemplate, requirementsInOrder } from '../engine/verification-index.js';
import { wordOf } from '../engine/values/words.js';
import { checkKey } from '../engine/evaluation/cell-key.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import type { Origin, TableValue, Value } from '../engine/values/value.js';
import type { Entity } from '../model/namespace.js';
import { TEMPERATURE } from '../units/index.js';
import type { ConfigurationView, ProjectView } from './rule.js';
import { saidIn } from '../model/statements.js';

export interface Coverage {
  readonly loads: Set<Entity>;
  readonly environments: Set<Entity>;
  /** Tables over temperature, with the temperatures (K) that they are asked at. */
  readonly asked: Map<Origin, number[]>;
}

/** What is covered in one configuration, by part. */
export interface ConfigurationCoverage {
  readonly evaluation: Evaluation;
  /** Parts that have requirements, with what the checks of those cover. */
  readonly parts: ReadonlyMap<Entity, Coverage>;
}

const kept = new WeakMap<
  ProjectView,
  { readonly revision: number; readonly coverage: readonly ConfigurationCoverage[] }
>();

/** What is covered in each configuration: what one of them leaves out is a hole. */
export function coverageByConfiguration(view: ProjectView): readonly ConfigurationCoverage[] {
  const known = kept.get(view);
  if (known?.revision === view.revision) return known.coverage;
  const coverage = view.configurations.map(configuration => ({
    evaluation: configuration.evaluation,
    parts: findCoverage(configuration),
  }));
  kept.set(view, { revision: view.revision, coverage });
  return coverage;
}

function findCoverage({ evaluation, verification }: ConfigurationView): Map<Entity, Coverage> {
  const found = new Map<Entity, Coverage>();
  for (const requirement of requirementsInOrder(verification.index)) {
    const { part } = requirement;
    if (!part || isTemplate(part)) continue;
    const coverage = found.get(part) ?? { loads: new Set(), environments: new Set(), asked: new Map() };
    found.set(part, coverage);
    for (let i = 0; i < requirement.checks.length; i++) {
      const cell = evaluation.cell(requirement, checkKey(i));
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
        holder &&
        saidIn(holder.declaration, 'exempt').some(exempt =>
          exempt.targets.some(target => view.namespace.resolvePath(target.path, part) === from),
        )
      )
        return true;
  }
  return false;
}

export function nameParts(parts: readonly Entity[]): string {
  return parts.map(part => part.path).join(', ');
}

/** Whether something is the project's own, or some part covers it: what else a library holds is for others. */
export function concerns(
  entity: Entity,
  view: ProjectView,
  covered: (coverage: Coverage) => ReadonlySet<Entity>,
): boolean {
  return (
    !view.namespace.isOfLibrary(entity) ||
    coverageByConfiguration(view).some(({ parts }) => [...parts.values()].some(part => covered(part).has(entity)))
  );
}

/** What a load is to a part: swept by a check of it, exempt from them with a reason, or a hole. */
export type LoadUse = 'swept' | 'exempt' | 'open';

export interface LoadRow {
  readonly part: Entity;
  /** Loads that concern the part; those of another level do not. */
  readonly uses: ReadonlyMap<Entity, LoadUse>;
}

/** Parts whose checks sweep a load at all, with every load of whatever sort that concerns them. */
export function loadMatrix(view: ProjectView): LoadRow[] {
  const byConfiguration = coverageByConfiguration(view);
  const loads = view.namespace
    .ofKind('load')
    .filter(load => !load.template && !isTemplate(load) && concerns(load, view, coverage => coverage.loads));
  return [...byConfiguration[0]!.parts.keys()].flatMap(part => {
    const swept = byConfiguration.map(({ parts }) => parts.get(part)?.loads ?? new Set<Entity>());
    const any = new Set(swept.flatMap(inOne => [...inOne]));
    if (any.size === 0) return [];
    const concerning = loads.filter(load => isWithin(part, load.parent) && isOfLevel(load, any));
    return [{ part, uses: new Map(concerning.map(load => [load, useOf(load, part, swept, view)])) }];
  });
}

/** What one configuration does not sweep is open. */
function useOf(load: Entity, part: Entity, swept: readonly ReadonlySet<Entity>[], view: ProjectView): LoadUse {
  return swept.every(loads => loads.has(load)) ? 'swept' : isExempt(part, load, view) ? 'exempt' : 'open';
}

/** Loads that stand in a part are that part's own. */
function isWithin(part: Entity, outer: Entity | null): boolean {
  if (outer?.kind !== 'part') return true;
  for (let at: Entity | null = part; at; at = at.parent) if (at === outer) return true;
  return false;
}

/** Whether a load says no level, or one at which other loads are swept. */
function isOfLevel(load: Entity, swept: ReadonlySet<Entity>): boolean {
  const level = wordOf(load, 'level');
  return level === null || [...swept].some(other => wordOf(other, 'level') === level);
}
