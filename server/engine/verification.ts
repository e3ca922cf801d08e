/** Statuses of requirements: margins, evidence, waivers and what an analysis rests on, for one configuration. */
import { compact } from '../base/index.js';
import type { Method, ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { slotHolders, type Ground, type VerificationSettings } from './articles.js';
import { diagnose } from './diagnose.js';
import { checkKey, TITLE } from './evaluation/cell-key.js';
import type { Cell } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import {
  applies,
  countedEvidence,
  dateOf,
  evidenceFaults,
  hasLapsed,
  lapsedFaults,
  isOf,
  leftOpen,
  measuredFaults,
  stands,
  wantedArticles,
} from './evidence.js';
import { printSides } from './explain.js';
import { confirmedBy } from './confirmations.js';
import { factsOf, nameOf } from './facts.js';
import { caseName, evaluateCheck, type CheckResult, type RowResult } from './margin.js';
import { measuredVerdicts, type Verdict } from './measured.js';
import { openNonconformances, type OpenNonconformance } from './nonconformances.js';
import { firstProblem, reasonOf } from './reasons.js';
import { isPoison } from './values/value.js';
import type { VerificationIndex } from './verification-index.js';
import { accepts, inForce, waivedMargin } from './waivers.js';
import { cited, METHOD_WORDS, methodWord, wordOf } from './values/words.js';
import { declared } from '../model/statements.js';

/** Worst first. */
export const STATUSES = ['failing', 'undetermined', 'waived', 'lapsed', 'unverified', 'verified'] as const;
export type Status = (typeof STATUSES)[number];

export interface MethodResult {
  readonly method: Method;
  readonly closed: boolean;
  /** The waiver by which it need not be done. */
  readonly waiver: Entity | null;
  /** What closed it: "passing check", or labels of evidence. */
  readonly by: string | null;
  /** The evidence that closed it. */
  readonly evidence: readonly Entity[];
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
  /** What keeps it from being verified, of what passes itself. */
  readonly open: readonly string[];
  readonly waiver: Entity | null;
  readonly evidence: readonly Entity[];
  /** Evidence of a failure that nothing later takes back. */
  readonly failures: readonly Entity[];
  /** What evidence measured beside the limits of the checks. */
  readonly measured: readonly Verdict[];
  readonly nonconformances: readonly OpenNonconformance[];
  readonly children: readonly Entity[];
  readonly governing: RowResult | null;
  readonly governingCheck: CheckResult | null;
  readonly thin: boolean;
}

export function worstStatus(statuses: Iterable<Status>): Status {
  let worst = STATUSES.length - 1;
  for (const status of statuses) worst = Math.min(worst, STATUSES.indexOf(status));
  return STATUSES[worst]!;
}

/** Of a requirement's results in several configurations: of the worst status, the one with the lowest margin. */
export function headlineOf<T extends { readonly result: RequirementResult }>(results: readonly T[]): T | null {
  const status = worstStatus(results.map(({ result }) => result.status));
  const worst = results.filter(({ result }) => result.status === status);
  const lowest = governingOf(worst.map(({ result }) => result.governingCheck).filter(check => check !== null));
  return worst.find(({ result }) => result.governingCheck === lowest) ?? worst[0] ?? null;
}

export type CheckResults = WeakMap<
  Cell,
  { readonly revision: number; readonly structure: number; readonly thin: number; readonly result: CheckResult }
>;

export class Verification implements Ground {
  private readonly results = new Map<Entity, RequirementResult>();
  private holders: Map<Entity, Entity[]> | null = null;

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
    const settingsMoved =
      settings.asOf !== this.settings.asOf ||
      settings.thinMargin !== this.settings.thinMargin ||
      settings.several !== this.settings.several;
    this.settings = settings;
    this.holders = null;
    this.confirmed = null;
    if (all || settingsMoved || [...touched].some(cell => cell.item?.kind === 'slot')) {
      this.results.clear();
      return;
    }
    for (const cell of touched) this.forget(cell.entity);
  }

  /** Whether a value that is to be confirmed was. */
  private isConfirmed(item: ValueItem): boolean {
    this.confirmed ??= confirmedBy(this.settings.asOf, this.evaluation);
    return this.confirmed.has(item);
  }

  private confirmed: ReadonlySet<ValueItem | null> | null = null;

  /** Drops what is known of a requirement (or of those whose status rests on something else) and of its parents. */
  forget(entity: Entity): void {
    if (entity.kind !== 'requirement') {
      for (const requirement of restingOn(this, entity)) this.forget(requirement);
    } else if (this.results.delete(entity)) {
      for (const parent of this.index.parents.get(entity) ?? []) this.forget(parent);
    }
  }

  holdersOf(part: Entity): readonly Entity[] {
    this.holders ??= slotHolders(this.evaluation);
    return this.holders.get(part) ?? [];
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
      .map((_, i) => this.evaluation.cell(entity, checkKey(i)))
      .filter(cell => cell !== undefined)
      .map(cell => this.checkResult(cell));
  }

  result(entity: Entity): RequirementResult {
    let result = this.results.get(entity);
    if (!result) this.results.set(entity, (result = this.judge(entity)));
    return result;
  }

  private judge(entity: Entity): RequirementResult {
    const checks = this.checksOf(entity);
    const evidence = compact(this.index.evidence.get(entity)?.filter(item => applies(this, item)) ?? []);
    const children = compact(this.index.children.get(entity) ?? []);
    const counted = countedEvidence(this, entity, evidence);
    const known: Known = {
      entity,
      checks,
      evidence,
      children,
      failures: compact(counted.filter(item => wordOf(item, 'result') === 'fail')),
      measured: compact(measuredVerdicts(this, entity, checks, counted)),
      unsettled: this.unsettled(entity),
    };
    const methods = declared(entity, 'requirement').methods.map(method => this.judgeMethod(known, method));
    const { own, waiver, reasons, nonconformances, open } = this.ownStatus(known, methods);
    const circular = this.index.circular.has(entity);
    const below = circular ? [] : children.map(child => ({ child, status: this.result(child).status }));
    const status = worstStatus([own, ...(circular ? ['undetermined' as const] : below.map(entry => entry.status))]);
    if (circular) reasons.push('it stands above itself');
    else if (status !== own) {
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
      open: compact(open),
      waiver,
      evidence,
      failures: known.failures,
      measured: known.measured,
      nonconformances,
      children,
      governing: governingCheck?.governing ?? null,
      governingCheck,
      thin: checks.some(check => check.thin),
    };
  }

  /** Evidence names a requirement by its label: of two with one label the first counts. */
  private isRepeated(entity: Entity): boolean {
    if (entity.template || entity.label === '') return false;
    const [first] = this.evaluation.namespace.labelled(entity.label).filter(other => other.kind === 'requirement');
    return first !== undefined && first !== entity;
  }

  private ownStatus(known: Known, methods: readonly MethodResult[]): Own {
    const { entity, checks, measured } = known;
    const failing = checks.filter(check => check.passes === false);
    const beyond = measured.filter(verdict => verdict.passes === false);
    const accepting = this.waiverFor(entity, failing, beyond);
    const waiver = failing.length > 0 || beyond.length > 0 ? accepting : null;
    const nonconformances = compact(this.nonconformancesOf(known, failing.length === 0 || waiver !== null, accepting));
    const undetermined = [
      ...checks.filter(check => check.passes === null).map(check => this.undeterminedReason(check)),
      ...nonconformances.filter(({ named }) => !named).map(({ reason }) => reason),
      ...(this.isRepeated(entity) ? ['another requirement before it has the same label'] : []),
      ...(entity.declaration.unread ? ["its text can't be read as it is written"] : []),
      ...[this.undeterminedText(entity)].filter(reason => reason !== null),
    ];
    const failures = [
      ...known.failures.map(item => `${item.label} failed`),
      ...nonconformances.filter(({ named }) => named).map(({ reason }) => reason),
    ];
    const reasons = [
      ...failing.map(check => this.failure(check)),
      ...beyond.map(({ reason }) => reason),
      ...failures,
      ...undetermined,
    ];
    const own = (status: Status, more: readonly string[] = [], open: readonly string[] = []): Own => ({
      own: status,
      waiver,
      nonconformances,
      reasons: [...reasons, ...more],
      open,
    });
    if (failures.length > 0 || (!waiver && failing.length + beyond.length > 0))
      return { ...own('failing'), waiver: null };
    if (undetermined.length > 0) return own('undetermined');
    const waived = methods.filter(method => method.waiver);
    if (waiver) return own('waived', [`accepted by ${waiver.label}${onlyOn(waiver)}`]);
    if (waived.length > 0)
      return own(
        'waived',
        waived.map(({ method, waiver: by }) => `${method.name} is waived by ${by!.label}`),
      );
    const open = openOf(known, methods);
    if (open.length > 0) return own(methods.some(method => method.lapsed) ? 'lapsed' : 'unverified', open, open);
    return methods.length === 0 && known.children.length === 0
      ? own('unverified', ['no method of verification is given'])
      : own('verified');
  }

  private failure(check: CheckResult): string {
    const governing = check.governing!;
    const mode = check.item.mode ? `${check.item.mode} ` : '';
    const name = caseName(this.evaluation, governing.row);
    const { applied, allowable, margin } = printSides(governing);
    const sides = governing.leaf ? `: ${applied} against ${allowable}, margin ${margin}` : '';
    return `the ${mode}check fails${name ? ` in ${name}` : ''}${sides}`;
  }

  private undeterminedReason(check: CheckResult): string {
    const mode = check.item.mode ? `${check.item.mode} ` : '';
    const reason = reasonOf(check);
    return `the ${mode}check is undetermined${reason ? `: ${this.settings.say(reason)}` : ''}`;
  }

  /** A shall-text that prints what has no value says nothing; null where it says something. */
  undeterminedText(entity: Entity): string | null {
    const cell = this.evaluation.cell(entity, TITLE);
    if (!cell) return null;
    const missing = [...(cell.demanded?.keys() ?? [])].find(node => !Number.isFinite(this.evaluation.number(node)));
    if (missing === undefined && cell.problems.length === 0 && !cell.reads.some(read => isPoison(read.value)))
      return null;
    const reason = missing === undefined ? firstProblem(cell) : diagnose(this.evaluation, missing);
    return `its text prints a value that is undetermined${reason ? `: ${this.settings.say(reason)}` : ''}`;
  }

  private nonconformancesOf(known: Known, passes: boolean, waiver: Entity | null): OpenNonconformance[] {
    const { entity, checks, evidence } = known;
    return openNonconformances(this, entity, {
      waived: articles => waiver !== null && articles.every(article => isFor(waiver, article)),
      passesAsBuilt: article => passes && checks.some(check => this.reads(check.cell, article)),
      shownSince: (article, day) =>
        evidence.some(
          item =>
            (dateOf(this, item) ?? '') >= day &&
            declared(item, 'evidence').on.some(on => cited(on) === article.name) &&
            stands(this, item, entity),
        ),
    });
  }

  private reads(cell: Cell, source: Entity): boolean {
    return factsOf(this.evaluation, cell).provisional.some(value => value.entity === source);
  }

  // ---- waivers ------------------------------------------------------------------------------------------------------

  /** A waiver that is in force and whose terms every row that fails, and what was measured, is within. */
  private waiverFor(entity: Entity, failing: readonly CheckResult[], beyond: readonly Verdict[]): Entity | null {
    const waivers = (this.index.waivers.get(entity) ?? []).filter(
      waiver => applies(this, waiver) && wordOf(waiver, 'method') === null && inForce(this, waiver),
    );
    return (
      waivers.find(
        waiver =>
          failing.every(check => !this.exceeded(waiver, check)) &&
          beyond.every(verdict => accepts(this, waiver, verdict)),
      ) ?? null
    );
  }

  /** Whether a failing row of a check is outside the terms of a waiver. */
  exceeded(waiver: Entity, check: CheckResult): boolean {
    const failing = [...check.rows, ...(check.governing ? [check.governing] : [])].filter(row => row.passes === false);
    // How far it fails has to be known to be accepted.
    return failing.some(row => !row.bounded || !accepts(this, waiver, waivedMargin(row)));
  }

  private methodWaiver(entity: Entity, method: Method): Entity | null {
    const waives = (item: Entity): boolean =>
      applies(this, item) &&
      methodWord(wordOf(item, 'method') ?? '') === methodWord(method.name) &&
      inForce(this, item);
    return (this.index.waivers.get(entity) ?? []).find(waives) ?? null;
  }

  // ---- methods ------------------------------------------------------------------------------------------------------

  private judgeMethod(known: Known, method: Method): MethodResult {
    const { entity, checks } = known;
    const waiver = this.methodWaiver(entity, method);
    if (waiver) return { method, closed: true, waiver, by: waiver.label, evidence: [], lapsed: false, open: [] };
    if (method.name === 'analysis' && checks.length > 0) return this.judgeAnalysis(known, method);
    const wanted = known.evidence.filter(item => isOf(item, method.name));
    const bound = wanted.filter(item => evidenceFaults(this, item, entity).length === 0);
    const lapsed = bound.filter(item => hasLapsed(this, item));
    const fitting = bound.filter(
      item => !lapsed.includes(item) && (method.level === null || wordOf(item, 'level') === method.level),
    );
    const articles = wantedArticles(this, method);
    const open = articles.flatMap(article => {
      const closing = fitting.filter(
        item => article === null || declared(item, 'evidence').on.some(on => cited(on) === article),
      );
      if (closing.length === 0) return this.openReasons(known, method, article, { wanted, bound, lapsed, fitting });
      const left = leftOpen(this, checks, closing);
      return left.length === 0
        ? []
        : [
            `${method.name} covers only part of it: open ${left.length === 1 ? 'is' : 'are'} ${left.slice(0, 3).join('; ')}${left.length > 3 ? ` and ${left.length - 3} more` : ''}`,
          ];
    });
    if (articles.length === 0)
      open.push(
        `no article is named that ${method.name} on each ${method.article ? cited(method.article) : 'article'} could be done on`,
      );
    const closed = open.length === 0;
    const evidence = closed ? [...new Set(fitting)] : [];
    return {
      method,
      closed,
      waiver: null,
      by: closed ? evidence.map(item => item.label).join(', ') : null,
      evidence,
      lapsed: !closed && lapsed.length > 0,
      open,
    };
  }

  private openReasons(known: Known, method: Method, article: string | null, found: FoundEvidence): string[] {
    const { wanted, bound, lapsed, fitting } = found;
    const what = `${method.name}${article ? ` on ${article}` : ''}${method.level ? ` at ${method.level} level` : ''}`;
    const labels = (items: readonly Entity[]): string => items.map(item => item.label).join(', ');
    if (lapsed.length > 0)
      return lapsed
        .flatMap(item => lapsedFaults(this, item))
        .map(fault => `the evidence of ${method.name} has lapsed: ${fault}`);
    if (fitting.length > 0) return [`${what} is open: ${labels(fitting)} is on another article`];
    if (bound.length > 0) return [`${what} is open: ${labels(bound)} is at another level`];
    if (!METHOD_WORDS.includes(method.name)) return [`${method.name} is no method of verification`];
    if (wanted.length === 0) return [`${what} has no evidence yet`];
    return wanted.flatMap(item => evidenceFaults(this, item, known.entity)).map(fault => `${what} is open: ${fault}`);
  }

  /** A passing check closes the analysis, unless it rests on something that isn't settled. */
  private judgeAnalysis({ checks, unsettled }: Known, method: Method): MethodResult {
    const open = [...(checks.some(check => check.passes !== true) ? ['the analysis does not pass'] : []), ...unsettled];
    const closed = open.length === 0;
    const by = closed ? 'passing check' : null;
    return { method, closed, waiver: null, by, evidence: [], lapsed: false, open: compact(open) };
  }

  /**
   * What the checks and the text of a requirement reach that isn't settled: provisional values, estimated masses,
   * unconfirmed tables, what was measured where nothing may rest on it, results that may be out of date.
   */
  private unsettled(entity: Entity): string[] {
    const cells = [...entity.checks.map((_, i) => checkKey(i)), TITLE]
      .map(key => this.evaluation.cell(entity, key))
      .filter(cell => cell !== undefined);
    return [...new Set(cells.flatMap(cell => this.unsettledIn(cell)))];
  }

  private unsettledIn(cell: Cell): string[] {
    const { provisional, results } = factsOf(this.evaluation, cell);
    const reaches = cell.key === TITLE ? 'the text states' : 'the analysis reaches';
    const open: string[] = [];
    if (cell.item?.kind === 'check' && cell.item.annotations.tbc) open.push('a check is to be confirmed');
    for (const value of provisional) {
      const { tbc, maturity, basis } = value.annotations;
      if (tbc && !this.isConfirmed(value.item)) open.push(`${reaches} ${nameOf(value)}, which is to be confirmed`);
      if (maturity === 'estimated') open.push(`${reaches} ${nameOf(value)}, which is estimated`);
      if (basis === 'typical') open.push(`${reaches} ${nameOf(value)}, a typical value`);
      if (value.entity.kind === 'evidence' || value.entity.kind === 'article')
        for (const fault of measuredFaults(this, value.entity))
          open.push(`${reaches} ${nameOf(value)}, which can't be relied on: ${fault}`);
    }
    for (const source of results)
      if (source.kind === 'results')
        open.push(
          `the analysis reads ${source.name}, and whether its inputs moved since it was run is not compared yet`,
        );
    return open;
  }
}

/** Requirements whose status rests on something, by evidence or by reading what was measured. */
export function restingOn(
  { evaluation, index }: Pick<Ground, 'evaluation' | 'index'>,
  entity: Entity,
): ReadonlySet<Entity> {
  const readers = new Set<Cell>();
  for (const source of index.sourcesOn(entity)) for (const cell of evaluation.cellsOf(source)) readers.add(cell);
  for (const at of readers) for (const user of at.users) readers.add(user);
  const reading = [...readers].map(reader => reader.entity).filter(({ kind }) => kind === 'requirement');
  return new Set([...index.restingOn(entity), ...reading]);
}

/** What is known of a requirement before it is judged. */
interface Known {
  readonly entity: Entity;
  readonly checks: readonly CheckResult[];
  readonly evidence: readonly Entity[];
  readonly children: readonly Entity[];
  readonly failures: readonly Entity[];
  readonly measured: readonly Verdict[];
  readonly unsettled: readonly string[];
}

interface Own {
  readonly own: Status;
  readonly waiver: Entity | null;
  readonly nonconformances: readonly OpenNonconformance[];
  readonly reasons: string[];
  readonly open: readonly string[];
}

/** Evidence of a method: all, what is bound to what it was taken on, what of that has lapsed, what of it fits. */
interface FoundEvidence {
  readonly wanted: readonly Entity[];
  readonly bound: readonly Entity[];
  readonly lapsed: readonly Entity[];
  readonly fitting: readonly Entity[];
}

/** What keeps a requirement that passes from being verified. */
function openOf({ unsettled, measured }: Known, methods: readonly MethodResult[]): string[] {
  const unclear = measured.filter(({ passes }) => passes === null).map(({ reason }) => reason);
  return [...new Set([...methods.flatMap(method => method.open), ...unsettled, ...unclear])];
}

/** A waiver that names articles accepts nothing on others. */
function isFor(waiver: Entity, article: Entity): boolean {
  const { on: named } = declared(waiver, 'waiver');
  return named.length === 0 || named.some(on => cited(on) === article.name);
}

function onlyOn(waiver: Entity): string {
  const { on } = declared(waiver, 'waiver');
  return on.length > 0 ? ` on ${on.map(cited).join(', ')} only` : '';
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
