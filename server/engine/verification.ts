/** Statuses of requirements: margins, evidence, waivers and what an analysis rests on, for one configuration. */
import { compact } from '../base/index.js';
import type { Method } from '../model/declaration.js';
import type { Reference } from '../model/expression.js';
import { byPlace, type Entity } from '../model/namespace.js';
import { DIMENSIONLESS } from '../units/index.js';
import type { Cell } from './cell.js';
import type { Evaluation } from './evaluation.js';
import { factsOf, type ReachedValue } from './facts.js';
import { caseName, evaluateCheck, type CheckResult, type RowResult } from './margin.js';
import { nearlyEqual } from './operations.js';
import type { Value } from './value.js';

/** Worst first. */
export const STATUSES = ['failing', 'undetermined', 'waived', 'lapsed', 'unverified', 'verified'] as const;
export type Status = (typeof STATUSES)[number];

export interface MethodResult {
  readonly method: Method;
  readonly closed: boolean;
  /** What closed it: "passing check", or labels of evidence. */
  readonly by: string | null;
  readonly lapsed: boolean;
  /** What is still open, one clause each. */
  readonly open: readonly string[];
}

export interface RequirementResult {
  readonly entity: Entity;
  readonly checks: readonly CheckResult[];
  readonly methods: readonly MethodResult[];
  /** Its own status, before that of its children. */
  readonly own: Status;
  readonly status: Status;
  readonly reasons: readonly string[];
  readonly waiver: Entity | null;
  readonly evidence: readonly Entity[];
  readonly children: readonly Entity[];
  readonly governing: RowResult | null;
  readonly governingCheck: CheckResult | null;
  readonly thin: boolean;
}

export interface VerificationSettings {
  /** ISO date by which expiry and evidence are judged. */
  readonly asOf: string;
  readonly thinMargin: number;
}

export function worstStatus(statuses: Iterable<Status>): Status {
  let worst = STATUSES.length - 1;
  for (const status of statuses) worst = Math.min(worst, STATUSES.indexOf(status));
  return STATUSES[worst]!;
}

/** Requirements, evidence and waivers of one namespace, indexed by what they are about. */
export class VerificationIndex {
  /** In no order that an edit keeps. */
  readonly requirements: readonly Entity[];
  readonly children = new Map<Entity, Entity[]>();
  readonly parents = new Map<Entity, Entity[]>();
  readonly evidence = new Map<Entity, Entity[]>();
  readonly waivers = new Map<Entity, Entity[]>();

  constructor(evaluation: Evaluation) {
    const { namespace } = evaluation;
    this.requirements = namespace.ofKind('requirement').filter(entity => !isTemplate(entity));
    for (const requirement of this.requirements) {
      for (const parent of requirement.declaration.parents) {
        for (const entity of resolveRequirement(evaluation, parent, requirement)) {
          push(this.children, entity, requirement);
          push(this.parents, requirement, entity);
        }
      }
    }
    for (const [kind, into] of [
      ['evidence', this.evidence],
      ['waiver', this.waivers],
    ] as const) {
      for (const entity of namespace.ofKind(kind))
        for (const target of entity.declaration.targets)
          for (const requirement of resolveRequirement(evaluation, target)) push(into, requirement, entity);
    }
  }
}

/** Requirements in the order in which they are written. */
export function requirementsInOrder({ requirements }: VerificationIndex): Entity[] {
  return requirements.toSorted(byPlace);
}

/** Requirements of `next` that have other parents, children, evidence or waivers than before, or are new. */
export function movedRelations(before: VerificationIndex, next: VerificationIndex): Set<Entity> {
  const known = new Set(before.requirements);
  const moved = (['parents', 'children', 'evidence', 'waivers'] as const).flatMap(relation =>
    [...new Set([...before[relation].keys(), ...next[relation].keys()])].filter(
      requirement => !sameList(before[relation].get(requirement), next[relation].get(requirement)),
    ),
  );
  return new Set([...moved, ...next.requirements.filter(requirement => !known.has(requirement))]);
}

function sameList(x: readonly Entity[] = [], y: readonly Entity[] = []): boolean {
  return x.length === y.length && x.every((entity, i) => entity === y[i]);
}

/** What stands in a `kind` is no requirement of its own; each instance is. */
export function isTemplate(entity: Entity): boolean {
  for (let at: Entity | null = entity; at; at = at.parent) if (at.kind === 'kind') return true;
  return false;
}

/**
 * A label names a requirement; the label of a kind's requirement names that of every instance, and seen from one
 * instance its own.
 */
export function resolveRequirement(evaluation: Evaluation, reference: Reference, from: Entity | null = null): Entity[] {
  const label = reference.path.join('.');
  const found = evaluation.namespace
    .labelled(label)
    .filter(entity => entity.kind === 'requirement' && !isTemplate(entity));
  if (found.length > 0) return found;
  const instances = [...evaluation.namespace.named(label)].filter(
    entity => entity.kind === 'requirement' && entity.template,
  );
  const own = instances.filter(entity => entity.instance() === from?.instance());
  if (own.length > 0) return own;
  return instances.length > 0
    ? instances
    : evaluation.namespace
        .candidates(reference.path, evaluation.namespace.root)
        .filter(entity => entity.kind === 'requirement' && !isTemplate(entity));
}

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}

/** Fields that are read as words: `method = test`. */
export function wordOf(entity: Entity, field: string): string | null {
  const value = entity.values.get(field)?.value;
  if (!value) return null;
  if (value.kind === 'name') return value.name;
  if (value.kind === 'date') return value.text;
  if (value.kind === 'text')
    return value.segments.map(segment => (typeof segment === 'string' ? segment : '')).join('');
  if (value.kind === 'truth') return value.value ? 'yes' : 'no';
  return null;
}

export type CheckResults = WeakMap<
  Cell,
  { readonly revision: number; readonly structure: number; readonly thin: number; readonly result: CheckResult }
>;

export class Verification {
  private readonly results = new Map<Entity, RequirementResult>();

  /** `checks`: results of checks, which configurations share where they share the check. */
  constructor(
    readonly evaluation: Evaluation,
    public index: VerificationIndex,
    public settings: VerificationSettings,
    private readonly checks: CheckResults = new WeakMap(),
  ) {}

  /** Forgets the results of requirements that an update may have touched. `all` when names, dates or evidence moved. */
  refresh(index: VerificationIndex, settings: VerificationSettings, touched: ReadonlySet<Cell>, all: boolean): void {
    this.index = index;
    const settingsMoved = settings.asOf !== this.settings.asOf || settings.thinMargin !== this.settings.thinMargin;
    this.settings = settings;
    if (all || settingsMoved) {
      this.results.clear();
      return;
    }
    for (const cell of touched) this.forget(cell.entity);
  }

  /** Drops what is known of a requirement (or of those that evidence or a waiver is for) and of its parents. */
  forget(entity: Entity): void {
    if (entity.kind === 'requirement') {
      if (!this.results.delete(entity)) return;
      for (const parent of this.index.parents.get(entity) ?? []) this.forget(parent);
    } else if (entity.kind === 'evidence' || entity.kind === 'waiver') {
      for (const target of entity.declaration.targets)
        for (const requirement of resolveRequirement(this.evaluation, target)) this.forget(requirement);
    }
  }

  checkResult(cell: Cell): CheckResult {
    const known = this.checks.get(cell);
    const thin = this.settings.thinMargin;
    if (known && known.revision === cell.revision && known.structure === cell.structure && known.thin === thin)
      return known.result;
    const result = evaluateCheck(this.evaluation, cell, thin);
    this.checks.set(cell, { revision: cell.revision, structure: cell.structure, thin, result });
    return result;
  }

  checksOf(entity: Entity): CheckResult[] {
    return entity.checks
      .map((_, i) => this.evaluation.cell(entity, `check ${i + 1}`))
      .filter(cell => cell !== undefined)
      .map(cell => this.checkResult(cell));
  }

  result(entity: Entity): RequirementResult {
    return this.resultWithin(entity, new Set());
  }

  private resultWithin(entity: Entity, above: Set<Entity>): RequirementResult {
    const known = this.results.get(entity);
    if (known) return known;
    above.add(entity);
    const result = this.judge(entity, above);
    above.delete(entity);
    this.results.set(entity, result);
    return result;
  }

  private judge(entity: Entity, above: Set<Entity>): RequirementResult {
    const checks = this.checksOf(entity);
    const evidence = compact(this.index.evidence.get(entity)?.filter(item => this.applies(item)) ?? []);
    const children = compact(this.index.children.get(entity) ?? []);
    const reasons: string[] = [];
    const methods = entity.declaration.methods.map(method => this.judgeMethod(entity, method, checks, evidence));
    const { own, waiver } = this.ownStatus(entity, checks, methods, children, reasons);
    const below = children
      .filter(child => !above.has(child))
      .map(child => ({ child, status: this.resultWithin(child, above).status }));
    const status = worstStatus([own, ...below.map(entry => entry.status)]);
    if (status !== own) {
      const worst = below.filter(entry => entry.status === status).map(entry => entry.child.label);
      reasons.unshift(
        `${worst.slice(0, 3).join(', ')}${worst.length > 3 ? ` and ${worst.length - 3} more` : ''} below it ${worst.length === 1 ? 'is' : 'are'} ${status}`,
      );
    }
    const governingCheck = governingOf(checks);
    return {
      entity,
      checks,
      methods: compact(methods),
      own,
      status,
      reasons: compact(reasons),
      waiver,
      evidence,
      children,
      governing: governingCheck?.governing ?? null,
      governingCheck,
      thin: checks.some(check => check.thin),
    };
  }

  private ownStatus(
    entity: Entity,
    checks: readonly CheckResult[],
    methods: readonly MethodResult[],
    children: readonly Entity[],
    reasons: string[],
  ): { own: Status; waiver: Entity | null } {
    const failing = checks.filter(check => check.passes === false);
    const undetermined = checks.filter(check => check.passes === null);
    for (const check of failing) reasons.push(this.failure(check));
    for (const check of undetermined) reasons.push(undeterminedReason(check));
    const waiver = failing.length > 0 ? this.waiverFor(entity, failing) : null;
    if (failing.length > 0 && !waiver) return { own: 'failing', waiver: null };
    if (undetermined.length > 0) return { own: 'undetermined', waiver };
    if (waiver) {
      reasons.push(
        `accepted by ${waiver.label}${waiver.declaration.on.length > 0 ? ` on ${waiver.declaration.on.map(target => target.path.join('.')).join(', ')} only` : ''}`,
      );
      return { own: 'waived', waiver };
    }
    const lapsed = methods.filter(method => method.lapsed);
    const open = methods.filter(method => !method.closed);
    for (const method of open) reasons.push(...method.open);
    if (lapsed.length > 0) return { own: 'lapsed', waiver: null };
    if (open.length > 0) return { own: 'unverified', waiver: null };
    if (methods.length === 0 && children.length === 0) {
      reasons.push('no method of verification is given');
      return { own: 'unverified', waiver: null };
    }
    if (methods.length === 0 && checks.length > 0 && checks.some(check => check.passes !== true))
      return { own: 'unverified', waiver: null };
    return { own: 'verified', waiver: null };
  }

  private failure(check: CheckResult): string {
    const governing = check.governing!;
    const mode = check.item.mode ? `${check.item.mode} ` : '';
    const name = caseName(this.evaluation, governing.row);
    return `the ${mode}check fails${name ? ` in ${name}` : ''}`;
  }

  // ---- waivers ------------------------------------------------------------------------------------------------------

  /** A waiver that is in force and whose terms every failing check is within. */
  private waiverFor(entity: Entity, failing: readonly CheckResult[]): Entity | null {
    for (const waiver of this.index.waivers.get(entity) ?? []) {
      if (!this.applies(waiver) || wordOf(waiver, 'method') !== null || !this.inForce(waiver)) continue;
      if (
        failing.every(check => check.rows.filter(row => row.passes === false).every(row => this.accepts(waiver, row)))
      )
        return waiver;
    }
    return null;
  }

  inForce(waiver: Entity): boolean {
    const expires = wordOf(waiver, 'expires');
    return expires === null || this.settings.asOf <= expires;
  }

  /** `accepts margin >= -0.05`: a waiver without terms accepts nothing. */
  accepts(waiver: Entity, row: RowResult): boolean {
    const terms = waiver.declaration.conditions.filter(condition => condition.kind === 'accepts');
    if (terms.length === 0) return false;
    const { arena } = this.evaluation;
    return terms.every(term => {
      const node = arena.allocate(1);
      arena.op[node] = 0;
      arena.values[node] = row.margin;
      arena.tolerant[node] = 0;
      const dimension = row.kind === 'distance' && row.leaf ? row.leaf.left.dimension : DIMENSIONLESS;
      const margin: Value = { kind: 'quantity', node, dimension, point: false, unit: null };
      const holds = this.evaluation.truthWith(term, term.condition, waiver, {
        name: 'margin',
        value: margin,
        parent: null,
      });
      arena.free(node, 1);
      return holds === true;
    });
  }

  // ---- methods ------------------------------------------------------------------------------------------------------

  private judgeMethod(
    entity: Entity,
    method: Method,
    checks: readonly CheckResult[],
    evidence: readonly Entity[],
  ): MethodResult {
    const waiver = (this.index.waivers.get(entity) ?? []).find(
      item => this.applies(item) && wordOf(item, 'method') === methodWord(method.name) && this.inForce(item),
    );
    if (waiver) return { method, closed: true, by: waiver.label, lapsed: false, open: [] };
    const wanted = evidence.filter(item => methodWord(wordOf(item, 'method') ?? '') === methodWord(method.name));
    const counting = wanted.filter(item => this.counts(item));
    if (method.name === 'analysis' && checks.length > 0) return this.judgeAnalysis(method, checks);
    const lapsed = counting.filter(item => this.hasLapsed(item));
    const valid = counting.filter(item => !this.hasLapsed(item));
    const fitting = valid.filter(item => method.level === null || wordOf(item, 'level') === method.level);
    const articles = this.articlesOf(method);
    const open: string[] = [];
    for (const article of articles) {
      const closing = fitting.filter(
        item => article === null || item.declaration.on.some(on => on.path.join('.') === article),
      );
      const left = this.leftOpen(checks, closing);
      if (closing.length === 0) open.push(this.openReason(method, article, wanted, lapsed, valid, fitting));
      else if (left.length > 0)
        open.push(
          `${method.name} covers only part of it: open ${left.length === 1 ? 'is' : 'are'} ${left.slice(0, 3).join('; ')}${left.length > 3 ? ` and ${left.length - 3} more` : ''}`,
        );
    }
    if (articles.length === 0)
      open.push(
        `no article is named that ${method.name} on each ${method.article?.path.join('.') ?? 'article'} could be done on`,
      );
    const closed = open.length === 0;
    return {
      method,
      closed,
      by: closed ? [...new Set(fitting.map(item => item.label))].join(', ') : null,
      lapsed: !closed && lapsed.length > 0,
      open,
    };
  }

  private openReason(
    method: Method,
    article: string | null,
    wanted: readonly Entity[],
    lapsed: readonly Entity[],
    valid: readonly Entity[],
    fitting: readonly Entity[],
  ): string {
    const what = `${method.name}${article ? ` on ${article}` : ''}${method.level ? ` at ${method.level} level` : ''}`;
    if (lapsed.length > 0)
      return `the evidence of ${method.name} has lapsed: ${lapsed.map(item => item.label).join(', ')} no longer holds`;
    if (fitting.length > 0)
      return `${what} is open: ${fitting.map(item => item.label).join(', ')} is on another article`;
    if (valid.length > 0) return `${what} is open: ${valid.map(item => item.label).join(', ')} is at another level`;
    const failed = wanted.find(item => wordOf(item, 'result') !== 'pass');
    if (failed) return `${what} is open: the result of ${failed.label} is ${wordOf(failed, 'result') ?? 'not given'}`;
    const future = wanted.find(item => (wordOf(item, 'date') ?? '') > this.settings.asOf);
    if (future)
      return `${what} is open: ${future.label} is dated ${wordOf(future, 'date')}, after ${this.settings.asOf}`;
    return `${what} has no evidence yet`;
  }

  /** A passing check closes the analysis, unless it rests on something that isn't settled. */
  private judgeAnalysis(method: Method, checks: readonly CheckResult[]): MethodResult {
    const open: string[] = [];
    if (checks.some(check => check.passes !== true)) open.push('the analysis does not pass');
    for (const check of checks) open.push(...this.unsettled(check.cell));
    const unique = [...new Set(open)];
    return {
      method,
      closed: unique.length === 0,
      by: unique.length === 0 ? 'passing check' : null,
      lapsed: false,
      open: compact(unique),
    };
  }

  /**
   * What keeps an analysis from being closed: provisional values, estimated masses, unconfirmed tables, results that
   * may be out of date.
   */
  unsettled(cell: Cell): string[] {
    const facts = factsOf(this.evaluation, cell);
    const open: string[] = [];
    for (const value of facts.provisional) {
      if (value.annotations.tbc) open.push(`the analysis reaches ${nameOf(value)}, which is to be confirmed`);
      if (value.item.name === 'mass' && value.annotations.maturity === 'estimated')
        open.push(`the analysis reaches ${nameOf(value)}, which is estimated`);
      if (value.annotations.basis === 'typical') open.push(`the analysis reaches ${nameOf(value)}, a typical value`);
    }
    for (const results of facts.results)
      if (results.kind === 'results')
        open.push(
          `the analysis reads ${results.name}, and whether its inputs moved since it was run is not compared yet`,
        );
    return open;
  }

  /** Pass, dated no later than the day of judgement. */
  counts(evidence: Entity): boolean {
    const date = wordOf(evidence, 'date');
    return wordOf(evidence, 'result') === 'pass' && date !== null && date <= this.settings.asOf;
  }

  /** A `holds while` that no longer holds, or can't be told to. */
  hasLapsed(evidence: Entity): boolean {
    return this.brokenConditions(evidence).length > 0;
  }

  brokenConditions(evidence: Entity): number[] {
    const broken: number[] = [];
    evidence.declaration.conditions.forEach((condition, i) => {
      if (condition.kind !== 'holds') return;
      const value = this.evaluation.valueOf(evidence, `holds ${i + 1}`);
      if (value?.kind !== 'truth' || this.evaluation.number(value.node) !== 1) broken.push(i);
    });
    return broken;
  }

  /** `in Radar` holds for that configuration alone. */
  private applies(entity: Entity): boolean {
    const within = entity.declaration.in;
    return (
      within.length === 0 ||
      within.some(configuration => configuration.path.join('.') === this.evaluation.configuration)
    );
  }

  /** The articles a method must be done on: [null] where any will do. */
  private articlesOf(method: Method): (string | null)[] {
    if (!method.article) return [null];
    const name = method.article.path.join('.');
    if (!method.each) return [name];
    const part = this.evaluation.namespace.resolvePath(method.article.path, this.evaluation.namespace.root);
    return this.evaluation.namespace
      .ofKind('article')
      .filter(
        article =>
          article.name.startsWith(name) ||
          (part &&
            article.declaration.of &&
            this.evaluation.namespace.resolvePath(article.declaration.of.path, article) === part),
      )
      .map(article => article.name);
  }

  /** Names of the cases that no evidence covers. Evidence without a restriction covers all. */
  private leftOpen(checks: readonly CheckResult[], evidence: readonly Entity[]): string[] {
    if (evidence.some(item => item.declaration.restrictions.length === 0)) return [];
    const left: string[] = [];
    for (const check of checks) {
      for (const row of check.rows) {
        const covered = row.row.values.every(values => evidence.some(item => this.covers(item, check, values)));
        if (!covered) left.push(caseName(this.evaluation, row.row) || (check.item.mode ?? 'the check'));
      }
    }
    return [...new Set(left)];
  }

  private covers(evidence: Entity, check: CheckResult, values: readonly Value[]): boolean {
    return evidence.declaration.restrictions.every((restriction, i) => {
      const at = check.item.binders.findIndex(binder => binder.name === restriction.name);
      if (at < 0) return true;
      const allowed = this.evaluation.valueOf(evidence, `restriction ${i + 1}`);
      if (!allowed) return false;
      const list = allowed.kind === 'list' ? allowed.items : [allowed];
      return list.some(item => this.same(item, values[at]!));
    });
  }

  private same(wanted: Value, value: Value): boolean {
    if (wanted.kind === 'entity')
      return (
        (value.kind === 'entity' && value.entity === wanted.entity) ||
        (value.kind === 'load' && value.name === wanted.entity.name)
      );
    if (wanted.kind === 'quantity' && value.kind === 'quantity')
      return (
        wanted.dimension === value.dimension &&
        nearlyEqual(this.evaluation.number(wanted.node), this.evaluation.number(value.node))
      );
    if (wanted.kind === 'range' && value.kind === 'quantity')
      return (
        this.evaluation.number(value.node) >= this.evaluation.number(wanted.low.node) &&
        this.evaluation.number(value.node) <= this.evaluation.number(wanted.high.node)
      );
    if (wanted.kind === 'text' && value.kind === 'text') return wanted.text === value.text;
    return false;
  }
}

export function methodWord(name: string): string {
  return name === 'review of design' || name === 'review' ? 'review_of_design' : name;
}

export function nameOf(value: Pick<ReachedValue, 'entity' | 'item' | 'path'>): string {
  return [value.entity.path, value.item.name === 'value' ? '' : value.item.name, ...value.path]
    .filter(Boolean)
    .join('.');
}

function undeterminedReason(check: CheckResult): string {
  const mode = check.item.mode ? `${check.item.mode} ` : '';
  return `the ${mode}check is undetermined`;
}

/**
 * The check whose row stands for the requirement: failing first, then undetermined, then the lowest strength margin,
 * then others.
 */
export function governingOf(checks: readonly CheckResult[]): CheckResult | null {
  const order = (check: CheckResult): number => (check.passes === false ? 0 : check.passes === null ? 1 : 2);
  const rank: Record<string, number> = { strength: 0, life: 1, probability: 2, distance: 3, boolean: 4 };
  return checks.reduce<CheckResult | null>((best, check) => {
    if (!best) return check;
    if (order(check) !== order(best)) return order(check) < order(best) ? check : best;
    const [x, y] = [check.governing, best.governing];
    if (!x || !y) return y ? best : check;
    if (x.margin === Infinity || y.margin === Infinity)
      return y.margin === Infinity && x.margin !== Infinity ? check : best;
    return x.kind === y.kind ? (x.margin < y.margin ? check : best) : rank[x.kind]! < rank[y.kind]! ? check : best;
  }, null);
}
