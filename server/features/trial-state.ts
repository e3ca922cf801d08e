/** What is being tried, as it is told: beside what is written, and what it makes of requirements. */
import { valueKey } from '../engine/evaluation/cell-key.js';
import type { Cell } from '../engine/evaluation/cell.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import { printValue } from '../engine/explain.js';
import { headlineOf } from '../engine/verification.js';
import { requirementsInOrder } from '../engine/verification-index.js';
import { spanOf, type ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { targetOf, type ReadTrialValue } from '../project/trial.js';
import type { Status } from '../protocol/overview.js';
import type { StatusMove, TrialState } from '../protocol/sheet.js';
import { LENGTH } from '../units/index.js';
import type { FeatureContext } from './feature.js';
import { worstResult } from './status.js';

export function trialState(context: FeatureContext): TrialState {
  const { trial } = context.project;
  return {
    values: (trial?.values ?? []).map(value => ({
      name: value.name,
      text: value.text,
      full: value.full,
      ...writtenValue(context, value.name),
      notes: [toleranceNote(value), massNote(context.project, value.name)].filter(note => note !== null),
    })),
    problems: trial?.problems ?? [],
  };
}

/** What the text says where another value is tried, and where. */
function writtenValue(
  context: FeatureContext,
  name: string,
): Pick<TrialState['values'][number], 'written' | 'location'> {
  const item = itemNamed(context.project, name);
  if (!item) return { written: '', location: null };
  const { file } = item.placement;
  const span = spanOf(item, item.value.id);
  return {
    written: (context.project.text(file) ?? '').slice(span.start, span.end),
    location: { uri: context.uri(file), ...context.linesOf(file).position(span.start) },
  };
}

export function itemNamed(project: Project, name: string): ValueItem | null {
  const target = targetOf(project.namespace, name);
  return target?.entity.values.get(target.field) ?? null;
}

/** The name by which a value is tried: the shortest dotted one that leads to it. */
export function trialName(project: Project, entity: Entity, item: ValueItem): string | null {
  const field = item.path[item.path.length - 1]!;
  const name = entity.path ? `${entity.path}.${field}` : field;
  return targetOf(project.namespace, name)?.entity === entity ? name : null;
}

// ---- what it is well to know ----------------------------------------------------------------------------------------

function toleranceNote({ without }: ReadTrialValue): string | null {
  return without === null
    ? null
    : `It is tried without the tolerance ${without} that is written: what it is calculated from brings its own, or none.`;
}

/** A mass that was weighed, or is a number, stays as it is when a dimension or the material moves. */
function massNote(project: Project, name: string): string | null {
  const target = targetOf(project.namespace, name);
  const part = target && (target.entity.kind === 'part' ? target.entity : target.entity.part);
  const mass = part?.values.get('mass');
  if (!target || !mass || target.field === 'mass') return null;
  const { evaluation } = project.view;
  const cell = evaluation.cell(part!, valueKey('mass'));
  const tried = evaluation.cell(target.entity, valueKey(target.field));
  if (!cell || !tried || !shapes(evaluation, target.entity, target.field) || rests(cell, tried)) return null;
  const value = printValue(node => evaluation.number(node), cell.value);
  const how = mass.annotations.maturity === 'measured' ? 'was measured' : 'is written as a number';
  return `The mass of ${part!.path}, ${value}, ${how}: it does not follow ${target.field}.`;
}

/** Whether a value is a dimension, or says what a part is made of. */
function shapes(evaluation: Evaluation, entity: Entity, field: string): boolean {
  const value = evaluation.valueOf(entity, field);
  return value?.kind === 'quantity'
    ? value.dimension === LENGTH
    : value?.kind === 'entity' && value.entity.kind === 'material';
}

function rests(cell: Cell, on: Cell): boolean {
  const reached = new Set([cell]);
  for (const at of reached) for (const read of at.reads) reached.add(read);
  return reached.has(on);
}

// ---- what it makes of requirements ----------------------------------------------------------------------------------

/** The status that a requirement would have; null where nothing is tried. */
export function statusTried({ trial }: Project, entity: Entity): Status | null {
  return (
    headlineOf((trial?.views ?? []).map(view => ({ result: view.verification.result(entity) })))?.result.status ?? null
  );
}

/** Requirements that would have another status. */
export function statusMoves(project: Project): StatusMove[] {
  if (!project.trial) return [];
  return requirementsInOrder(project.view.verification.index).flatMap(entity => {
    const [from, to] = [worstResult(project, entity)?.result.status, statusTried(project, entity)];
    return from && to && from !== to ? [{ requirement: entity.label, from, to }] : [];
  });
}
