/** Which cells the items of an entity ask for, and what each kind of them calculates. */
import { isCalculated } from '../../language/index.js';
import type { CheckItem, ConditionItem, RestrictionItem, TextItem, ValueItem } from '../../model/declaration.js';
import type { Entity, Namespace } from '../../model/namespace.js';
import { checkKey, conditionKey, OWN_VALUE, restrictionKey, TITLE, valueKey, type CellKey } from './cell-key.js';
import type { Cell, CellItem } from './cell.js';
import { elaborateCheck } from '../elaboration/check.js';
import type { Elaborator } from '../elaboration/elaborate.js';
import type { Host } from '../elaboration/elaboration.js';
import { inline } from '../elaboration/calls.js';
import { annotated } from '../elaboration/structures.js';
import { printText } from '../elaboration/texts.js';
import { typed } from '../elaboration/types.js';
import { checkedField } from '../elaboration/fields.js';
import { isPoison, POISON, type Value } from '../values/value.js';
import { columnsOf } from '../../model/statements.js';

export type VisitCell = (key: CellKey, item: CellItem, scope: Entity, calculate: Cell['calculate']) => void;

/** The cells that an entity's items ask for, each once. */
export function eachCell(host: Host, entity: Entity, visit: VisitCell): void {
  const { declaration } = entity;
  if (declaration.value && entity.kind !== 'file' && !isDataBlock(entity))
    visit(OWN_VALUE, declaration.value, entity, entity.kind === 'configuration' ? calculateNothing : calculateValue);
  for (const name of host.valueNames(entity)) {
    const { item, scope } = host.itemOf(entity, name)!;
    if (item.kind === 'override' && entity.kind === 'configuration') continue;
    if (item.kind === 'unit' || !isCalculated(entity.kind, name) || (name === 'value' && declaration.value)) continue;
    visit(valueKey(name), item, scope, item.parameters ? calculateUncalled : calculateValue);
  }
  if (entity.kind === 'file') {
    let n = 0;
    for (const root of host.namespace.rootDeclarations)
      for (const item of host.namespace.topOf(root.placement.file) === entity ? root.checks : [])
        visit(checkKey(n++), item, entity, calculateCheck);
    return;
  }
  if (!isRepeated(host.namespace, entity))
    declaration.checks.forEach((item, i) => visit(checkKey(i), item, entity, calculateCheck));
  declaration.conditions.forEach((item, i) => visit(conditionKey(item.kind, i), item, entity, calculateCondition));
  declaration.restrictions.forEach((item, i) => visit(restrictionKey(i), item, entity, calculateRestriction));
  if (declaration.title?.segments.some(segment => typeof segment !== 'string'))
    visit(TITLE, declaration.title, entity, calculateText);
}

/** Inside a kind that has instances: each of them is checked, and the kind itself need not be. */
function isRepeated(namespace: Namespace, entity: Entity): boolean {
  for (let at = entity.parent; at; at = at.parent) if (at.kind === 'kind') return namespace.hasInstances(at);
  return false;
}

function isDataBlock(entity: Entity): boolean {
  return columnsOf(entity).length > 0;
}

/** Checks and formulas find what they read as they go, and a number reads nothing. */
export function readsNothingObvious({ item }: Cell): boolean {
  return (
    !item || (item.kind !== 'let' && item.kind !== 'field' && item.kind !== 'slot') || item.value.kind === 'number'
  );
}

/**
 * Whether a cell that looked up the name of a formula holds its body, or a value that may be the formula itself, or
 * came to nothing over it.
 */
export function mayHold(cell: Cell, formula: ValueItem): boolean {
  if (cell.calls.includes(formula) || cell.problems.length > 0) return true;
  const { kind } = cell.value;
  return (
    kind === 'formula' ||
    kind === 'list' ||
    kind === 'record' ||
    (kind === 'poison' && cell.calculate !== calculateCheck && cell.calculate !== calculateUncalled)
  );
}

export function calculateValue(elaborator: Elaborator, cell: Cell): Value {
  const item = cell.item as ValueItem;
  const written = annotated(elaborator.expression(item.value, null), item.annotations);
  const value =
    item.kind === 'field' || item.kind === 'override'
      ? checkedField(elaborator, cell.entity.kind, item, written)
      : written;
  return value;
}

/** A formula is elaborated once on its own, so that its errors are found though nobody calls it. */
export function calculateUncalled(elaborator: Elaborator, cell: Cell): Value {
  const item = cell.item as ValueItem;
  const bound = new Map(
    item.parameters!.map(parameter => [parameter.name, typed(elaborator, parameter.type, parameter.id)]),
  );
  inline(elaborator, { kind: 'formula', item, scope: cell.scope }, bound, item.id);
  elaborator.guarded.length = 0;
  return POISON;
}

function calculateCheck(elaborator: Elaborator, cell: Cell): Value {
  cell.plan = elaborateCheck(elaborator, cell.item as CheckItem);
  return POISON;
}

function calculateCondition(elaborator: Elaborator, cell: Cell): Value {
  const item = cell.item as ConditionItem;
  // `accepts margin >= -0.05` is read against the margin of what it waives, by the verification.
  if (item.kind === 'accepts') return POISON;
  const value = elaborator.expression(item.condition, null);
  if (item.kind === 'holds' && value.kind !== 'truth' && !isPoison(value))
    return elaborator.problem('condition-expected', item.condition.id, { found: value.kind });
  return value;
}

function calculateRestriction(elaborator: Elaborator, cell: Cell): Value {
  const item = cell.item as RestrictionItem;
  return elaborator.expression(item.domain, null);
}

function calculateText(elaborator: Elaborator, cell: Cell): Value {
  return { kind: 'text', text: printText(elaborator, (cell.item as TextItem).segments, null) };
}

function calculateNothing(): Value {
  return POISON;
}
