/** Evidence: what it closes, what keeps it from closing anything, what it contradicts. */
import type { ConditionItem, Method } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { articleFaults, boundFaults, builtOn, fileFaults, unreadFaults, type Ground } from './articles.js';
import { brokenParts } from './broken-conditions.js';
import { caseName, type CheckResult } from './margin.js';
import { mendedBetween, scrappedBy } from './nonconformances.js';
import { nearlyEqual } from './operations/op.js';
import type { Value } from './values/value.js';
import { articlesOf, madeOf } from './verification-index.js';
import { cited, dayOf, methodWord, wordOf } from './values/words.js';
import { checkKey, conditionKey, restrictionKey } from './evaluation/cell-key.js';
import { declared } from '../model/statements.js';

/** `in Radar` holds for that configuration alone. */
export function applies({ evaluation }: Ground, entity: Entity): boolean {
  const within = declared(entity, 'evidence', 'waiver').in;
  return within.length === 0 || within.some(configuration => cited(configuration) === evaluation.configuration);
}

/** Whether evidence is of a method. */
export function isOf(evidence: Entity, method: string): boolean {
  return methodWord(wordOf(evidence, 'method') ?? '') === methodWord(method);
}

export function dateOf({ evaluation: { namespace } }: Ground, evidence: Entity): string | null {
  return dayOf(namespace, evidence, 'date');
}

/** Methods that are done on something built; the others are done on paper. */
const ON_ARTICLES: ReadonlySet<string> = new Set(['test', 'inspection', 'demonstration']);

/**
 * What keeps evidence from closing anything for a requirement (or, without one, from being relied on for what it
 * measured), one clause each.
 */
export function evidenceFaults(ground: Ground, evidence: Entity, requirement: Entity | null): string[] {
  const { label } = evidence;
  const { imprint, on } = declared(evidence, 'evidence');
  const faults = [
    ...unreadFaults(evidence),
    ...verdictFaults(ground, evidence),
    ...fileFaults(ground, evidence, 'report'),
  ];
  if (imprint !== null) faults.push(`the imprint of ${label} can't be compared yet`);
  const later = superseding(ground, evidence)[0];
  if (later) faults.push(`${label} is superseded by ${later.label}`);
  if (on.length === 0 && ON_ARTICLES.has(wordOf(evidence, 'method') ?? ''))
    faults.push(`${label} names no article that it was taken on`);
  const date = dateOf(ground, evidence);
  for (const article of articlesOf(ground.evaluation.namespace, evidence)) {
    const built = builtAfter(ground, article, date);
    if (built) faults.push(`${article.name} was built on ${built}, after ${label}`);
    const scrap = scrappedBy(ground, article);
    if (scrap) faults.push(`${article.name} is out of use by ${scrap.label}`);
  }
  faults.push(...boundFaults(ground, evidence, requirement));
  if (requirement && isUnsaid(ground, evidence, requirement))
    faults.push(`${label} does not say in which configuration it was taken, and they differ for ${requirement.label}`);
  return faults;
}

function verdictFaults(ground: Ground, evidence: Entity): string[] {
  const { label } = evidence;
  const { asOf } = ground.settings;
  const result = wordOf(evidence, 'result');
  const date = dateOf(ground, evidence);
  return [
    ...(result === 'pass' ? [] : [`the result of ${label} is ${result ?? 'not given'}`]),
    ...(date === null ? [`${label} does not say on which day it was taken`] : []),
    ...(date !== null && date > asOf ? [`${label} is dated ${date}, after ${asOf}`] : []),
  ];
}

function builtAfter(ground: Ground, article: Entity, date: string | null): string | null {
  const built = builtOn(ground, article);
  return built !== null && date !== null && built > date ? built : null;
}

/** Whether configurations differ in what a requirement checks, and evidence does not say in which it was taken. */
function isUnsaid({ evaluation, settings }: Ground, evidence: Entity, requirement: Entity): boolean {
  return (
    settings.several &&
    declared(evidence, 'evidence').in.length === 0 &&
    requirement.checks.some((_, i) => evaluation.cell(requirement, checkKey(i))?.home === evaluation) &&
    evaluation.configuration !== null
  );
}

/** Evidence by the day of judgement that names another as what it takes the place of. */
function superseding(ground: Ground, evidence: Entity): Entity[] {
  return (ground.index.superseding.get(evidence.name) ?? []).filter(other => {
    const date = dateOf(ground, other);
    return other !== evidence && applies(ground, other) && date !== null && date <= ground.settings.asOf;
  });
}

/** Evidence that counts against a requirement: taken by the day of judgement, and not taken back since. */
export function countedEvidence(ground: Ground, requirement: Entity, evidence: readonly Entity[]): Entity[] {
  return evidence.filter(
    item => (dateOf(ground, item) ?? '') <= ground.settings.asOf && !isTakenBack(ground, requirement, item, evidence),
  );
}

/** A failure counts until later evidence on a corrected article names it: such that stands, or failed itself. */
function isTakenBack(ground: Ground, requirement: Entity, item: Entity, evidence: readonly Entity[]): boolean {
  return superseding(ground, item).some(
    later =>
      evidence.includes(later) &&
      isCorrected(ground, item, later) &&
      (wordOf(later, 'result') === 'fail' || stands(ground, later, requirement)),
  );
}

/** Whether later evidence was taken on another article, or on the same one after it was mended. */
function isCorrected(ground: Ground, failure: Entity, later: Entity): boolean {
  const { namespace } = ground.evaluation;
  const [from, to] = [dateOf(ground, failure), dateOf(ground, later)];
  if (from === null || to === null || to <= from) return false;
  const before = articlesOf(namespace, failure);
  return articlesOf(namespace, later).every(
    article => !before.includes(article) || mendedBetween(ground, article, from, to),
  );
}

/** Whether evidence may close a method of a requirement. */
export function stands(ground: Ground, evidence: Entity, requirement: Entity | null): boolean {
  return evidenceFaults(ground, evidence, requirement).length === 0 && !hasLapsed(ground, evidence);
}

/** A `holds while` that no longer holds, or can't be told to. */
export function hasLapsed(ground: Ground, evidence: Entity): boolean {
  return brokenConditions(ground, evidence).length > 0;
}

export function brokenConditions({ evaluation }: Ground, evidence: Entity): number[] {
  const broken: number[] = [];
  evidence.declaration.conditions.forEach((condition, i) => {
    if (condition.kind !== 'holds') return;
    const value = evaluation.resultOf(evidence, conditionKey('holds', i));
    if (value?.kind !== 'truth' || evaluation.number(value.node) !== 1) broken.push(i);
  });
  return broken;
}

/** Why what was measured on an article or in evidence can't be relied on, one clause each. */
export function measuredFaults(ground: Ground, source: Entity): string[] {
  if (source.kind === 'article') return articleFaults(ground, source);
  return [...evidenceFaults(ground, source, null), ...lapsedFaults(ground, source)];
}

/** Why evidence no longer holds, one clause for each condition that does not. */
export function lapsedFaults(ground: Ground, evidence: Entity): string[] {
  const { evaluation, settings } = ground;
  return brokenConditions(ground, evidence).flatMap(i => {
    const condition = evidence.declaration.conditions[i] as ConditionItem;
    const parts = brokenParts(evaluation, evidence, conditionKey('holds', i), condition, reason =>
      settings.say(reason),
    );
    return parts.map(part => `${evidence.label} holds only while ${part}`);
  });
}

// ---- what evidence covers -------------------------------------------------------------------------------------------

/** The articles a method must be done on: [null] where any will do. */
export function wantedArticles({ evaluation: { namespace } }: Ground, method: Method): (string | null)[] {
  if (!method.article) return [null];
  const name = cited(method.article);
  if (!method.each) return [name];
  const part = namespace.resolvePath(method.article.path, namespace.root);
  return namespace
    .ofKind('article')
    .filter(article => article.name.startsWith(name) || (part && madeOf(namespace, article) === part))
    .map(article => article.name);
}

/** Names of the cases that no evidence covers. Evidence without a restriction covers all. */
export function leftOpen(ground: Ground, checks: readonly CheckResult[], evidence: readonly Entity[]): string[] {
  if (evidence.some(item => item.declaration.restrictions.length === 0)) return [];
  const left: string[] = [];
  for (const check of checks) {
    for (const { row } of check.rows) {
      const covered = row.values.every(values => evidence.some(item => covers(ground, item, check, values)));
      if (!covered) left.push(caseName(ground.evaluation, row) || (check.item.mode ?? 'the check'));
    }
  }
  return [...new Set(left)];
}

/** Whether evidence was taken in the case of a row. */
export function covers(ground: Ground, evidence: Entity, check: CheckResult, values: readonly Value[]): boolean {
  return evidence.declaration.restrictions.every((restriction, i) => {
    const at = check.item.binders.findIndex(binder => binder.name === restriction.name);
    if (at < 0) return true;
    const value = values[at];
    // A sweep that came to nothing has a row without values.
    if (!value) return false;
    const allowed = ground.evaluation.resultOf(evidence, restrictionKey(i));
    if (!allowed) return false;
    const list = allowed.kind === 'list' ? allowed.items : [allowed];
    return list.some(item => isSame(ground, item, value));
  });
}

function isSame({ evaluation }: Ground, wanted: Value, value: Value): boolean {
  if (wanted.kind === 'entity')
    return (
      (value.kind === 'entity' && value.entity === wanted.entity) ||
      (value.kind === 'load' && value.name === wanted.entity.name)
    );
  if (wanted.kind === 'quantity' && value.kind === 'quantity')
    return (
      wanted.dimension === value.dimension && nearlyEqual(evaluation.number(wanted.node), evaluation.number(value.node))
    );
  if (wanted.kind === 'range' && value.kind === 'quantity')
    return (
      evaluation.number(value.node) >= evaluation.number(wanted.low.node) &&
      evaluation.number(value.node) <= evaluation.number(wanted.high.node)
    );
  if (wanted.kind === 'text' && value.kind === 'text') return wanted.text === value.text;
  return false;
}
