/** The masses of parts, and the one that a cap is held against. */
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import { partMembers } from '../engine/elaboration/mass.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { MASS } from '../units/index.js';
import type { MassReport, MassTotals } from './check-report.js';
import { titleText } from './names.js';

type Views = readonly ConfigurationView[];

export function massReports(project: Project, view: ConfigurationView = project.view): MassReport[] {
  const { evaluation } = view;
  const reports: MassReport[] = [];
  const visit = (part: Entity, above: readonly Entity[], many: number): void => {
    const members = evaluation.outside(() => partMembers(evaluation.host, part));
    const count = countOf(evaluation, part);
    const [basic, predicted] = [massOf(evaluation, part, 'basic_mass'), massOf(evaluation, part, 'predicted_mass')];
    const item = part.values.get('mass');
    const times = count * many;
    const all = (mass: number | null): number | null => (mass === null ? null : mass * times);
    reports.push({
      part: part.path,
      title: titleText(view, part),
      depth: above.length,
      count,
      basic: all(basic?.nominal ?? null),
      predicted: all(predicted?.nominal ?? null),
      predictedWorst: all(predicted?.worst ?? null),
      maturity: item?.annotations.maturity ?? null,
      growth: item ? growthOf(basic, predicted, members.length === 0) : null,
      configuration: view.name,
    });
    const way = [...above, part];
    // What fills a slot of itself is told as a circle, and listed once.
    for (const child of members) if (!way.includes(child)) visit(child, way, times);
  };
  for (const top of topParts(project, evaluation)) visit(top, [], 1);
  return reports;
}

/** What is told of the mass of the whole: of the heaviest configuration, at the worst of its tolerances. */
export function massTotals(project: Project, views: Views = project.configurations): MassTotals {
  const limit = massLimit(project);
  const tops = views.map(view => wholes(project, view));
  const unclear = tops.find(parts => parts.length > 1);
  const masses = views.map((view, i) => wholeMass(view, tops[i]!));
  if (unclear || masses.includes(null)) return { ...NO_MASS, limit, unclear: unclear?.map(part => part.path) ?? [] };
  const heaviest = (masses as WholeMass[]).reduce((x, y) => (y.worst > x.worst ? y : x));
  return { ...heaviest, limit, unclear: [] };
}

const NO_MASS = { of: null, predicted: null, worst: null, configuration: null };

/** The largest predicted mass of the configurations, kg; null where one is undetermined or there is none. */
export function largestMass(project: Project, views?: Views): number | null {
  return massTotals(project, views).predicted;
}

export function massLimit(project: Project): number | null {
  const entity = project.projectEntity;
  const value = entity ? project.view.evaluation.valueOf(entity, 'mass_limit') : undefined;
  return value?.kind === 'quantity' ? project.view.evaluation.number(value.node) : null;
}

/** The part that the project names, else those that weigh something and are part of no other: several are not clear. */
function wholes(project: Project, { evaluation }: ConfigurationView): readonly Entity[] {
  const named = project.projectEntity ? evaluation.valueOf(project.projectEntity, 'mass_of') : undefined;
  if (named) return named.kind === 'entity' ? [named.entity] : [];
  return topParts(project, evaluation).filter(part => massOf(evaluation, part, 'predicted_mass')?.nominal !== 0);
}

type WholeMass = Pick<MassTotals, 'configuration'> & {
  readonly of: string;
  readonly predicted: number;
  readonly worst: number;
};

function wholeMass({ evaluation, name }: ConfigurationView, [whole]: readonly Entity[]): WholeMass | null {
  const mass = whole ? massOf(evaluation, whole, 'predicted_mass') : null;
  if (!whole || !mass) return null;
  const count = countOf(evaluation, whole);
  return { of: whole.path, predicted: mass.nominal * count, worst: mass.worst * count, configuration: name };
}

/** Parts of no other part, and not put into a slot of one by any configuration. */
function topParts(project: Project, evaluation: Evaluation): Entity[] {
  const tops = evaluation.namespace.ofKind('part').filter(part => !hasPartAbove(part));
  const filled = new Set<Entity>();
  for (const top of tops)
    for (const [name, item] of top.values)
      if (item.kind === 'slot') {
        const value = evaluation.valueOf(top, name);
        if (value?.kind === 'entity') filled.add(value.entity);
      }
  return tops.filter(top => !filled.has(top) && !isAlternative(project, top));
}

function countOf(evaluation: Evaluation, part: Entity): number {
  const count = evaluation.valueOf(part, 'count');
  return count?.kind === 'quantity' ? evaluation.number(count.node) : 1;
}

interface Mass {
  readonly nominal: number;
  /** At the worst of all tolerances. */
  readonly worst: number;
}

/** kg; null where undetermined. */
function massOf(evaluation: Evaluation, part: Entity, name: 'basic_mass' | 'predicted_mass'): Mass | null {
  const value = evaluation.attribute(part, name);
  if (value?.kind !== 'quantity' || value.dimension !== MASS) return null;
  const nominal = evaluation.number(value.node);
  const { readings } = evaluation;
  const worst = readings.isTolerant(value.node) ? readings.extreme(value.node, -1) : nominal;
  return Number.isFinite(nominal) && Number.isFinite(worst) ? { nominal, worst } : null;
}

function growthOf(basic: Mass | null, predicted: Mass | null, leaf: boolean): number | null {
  return leaf && basic?.nominal && predicted?.nominal
    ? Math.round((predicted.nominal / basic.nominal - 1) * 1e6) / 1e6
    : null;
}

function hasPartAbove(part: Entity): boolean {
  for (let at = part.parent; at; at = at.parent) if (at.kind === 'part' || at.kind === 'kind') return true;
  return false;
}

/** A part that another configuration puts into a slot. */
function isAlternative(project: Project, part: Entity): boolean {
  return project.namespace
    .ofKind('configuration')
    .some(configuration =>
      configuration.declaration.values.some(item => item.value.kind === 'name' && item.value.name === part.name),
    );
}
