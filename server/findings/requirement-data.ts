/** What messages about a check's governing row say, and what several rules ask of a check. */
import type { RequirementResult } from '../engine/verification.js';
import { isTemplate } from '../engine/verification-index.js';
import { wordOf } from '../engine/values/words.js';
import { factorsOf, type FactorUse, factsOfRow, type ReachedValue } from '../engine/facts.js';
import { printSides } from '../engine/explain.js';
import { caseName, type CheckResult, type Outcome } from '../engine/margin.js';
import type { Cell } from '../engine/evaluation/cell.js';
import type { Entity, Namespace } from '../model/namespace.js';
import type { ConfigurationView } from './rule.js';

/**
 * `configuration` is the name of the one looked at; where the same is found in several, the project merges them into
 * one message.
 */
export type CheckData = Readonly<Record<string, string>>;

export function requirementData(result: RequirementResult, configuration: ConfigurationView): CheckData {
  return { label: result.entity.label, configuration: configuration.name ?? '', part: result.entity.part?.path ?? '' };
}

/** A check that stands outside of requirements, in a part or at the top of a file. */
export function strayCheck(
  cell: Cell,
  configuration: ConfigurationView,
): { readonly check: CheckResult; readonly data: CheckData } | null {
  if (!cell.plan || cell.entity.kind === 'requirement' || isTemplate(cell.entity)) return null;
  const where = cell.entity.path;
  return {
    check: configuration.verification.checkResult(cell),
    data: { label: where ? `A check of ${where}` : 'This check', configuration: configuration.name ?? '', part: where },
  };
}

export function checkData(data: CheckData, check: CheckResult, configuration: ConfigurationView): CheckData {
  const { evaluation } = configuration;
  const governing = check.governing!;
  const sides = printSides(governing);
  const name = caseName(evaluation, governing.row);
  return {
    ...data,
    mode: check.item.mode ? ` in ${check.item.mode}` : '',
    case: name ? ` in ${name}` : '',
    applied: sides.applied,
    allowable: sides.allowable,
    margin: sides.margin,
  };
}

/** The two sides of the comparison that governs. */
export function sidesOf(outcome: Outcome): { readonly applied: number; readonly allowable: number } | null {
  const { leaf } = outcome;
  if (!leaf) return null;
  return leaf.operator.startsWith('<')
    ? { applied: leaf.left.node, allowable: leaf.right.node }
    : { applied: leaf.right.node, allowable: leaf.left.node };
}

/** Checks whose margin is a ratio of an allowable and what is applied, with their governing comparison. */
export function strengthChecks(
  result: RequirementResult,
): (CheckResult & { governing: NonNullable<CheckResult['governing']> })[] {
  return result.checks.filter(
    (check): check is CheckResult & { governing: NonNullable<CheckResult['governing']> } =>
      check.governing?.kind === 'strength' && check.governing.leaf !== null,
  );
}

/**
 * Values of materials with a stated basis on the allowable side of what governs, or anywhere where a reserve is
 * compared.
 */
export function allowablesOfCheck(configuration: ConfigurationView, check: CheckResult): readonly ReachedValue[] {
  if (!check.governing?.leaf) return [];
  return factsOfRow(configuration.evaluation, check.governing.row, 'allowable').values.filter(
    value => value.entity.kind === 'material' && value.annotations.basis !== undefined,
  );
}

export function factorsOfCheck(configuration: ConfigurationView, check: CheckResult): readonly FactorUse[] {
  return check.governing ? factorsOf(configuration.evaluation, check.governing.row) : [];
}

/** The material that a part itself says it is made of. */
export function materialOf(configuration: ConfigurationView, part: Entity | null): Entity | null {
  const value = part ? configuration.evaluation.valueOf(part, 'material') : undefined;
  return value?.kind === 'entity' && value.entity.kind === 'material' ? value.entity : null;
}

/** The sets of factors on loads that the project has, and what each is for: checks are held against all of them. */
export function factorSets(namespace: Namespace): { readonly name: string; readonly class: string | null }[] {
  return namespace
    .ofKind('factors')
    .filter(set => wordOf(set, 'side') !== 'allowable')
    .map(set => ({ name: set.name, class: classOf(set) }));
}

export const classOf = (entity: Entity | null): string | null => (entity ? wordOf(entity, 'class') : null);
