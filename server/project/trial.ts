/**
 * Other values tried for a moment: an evaluation over the same model, beside the texts, that leaves no trace when it is
 * dropped.
 */
import { dimensionWords } from '../engine/values/describe.js';
import { checkKey, valueKey } from '../engine/evaluation/cell-key.js';
import { Evaluation } from '../engine/evaluation/evaluation.js';
import type { Overrides } from '../engine/evaluation/overlay.js';
import type { DataSource } from '../engine/evaluation/reading.js';
import { evaluateCheck, type CheckResult } from '../engine/margin.js';
import { describeKind, type Value } from '../engine/values/value.js';
import type { VerificationSettings } from '../engine/articles.js';
import { Verification, type CheckResults } from '../engine/verification.js';
import type { VerificationIndex } from '../engine/verification-index.js';
import { RULES, wordMessage, type ConfigurationView } from '../findings/index.js';
import { spanOf, type ValueItem } from '../model/declaration.js';
import { walk, type Expression } from '../model/expression.js';
import type { Entity, Namespace, NamespaceChange } from '../model/namespace.js';
import { readPieces } from './pieces.js';

/** Nothing was written. */
export const NO_CHANGE: NamespaceChange = {
  dependencies: new Set(),
  fields: new Map(),
  formulas: new Set(),
  removed: [],
  added: [],
  touched: new Set(),
  rootTouched: false,
};

/** What is tried: a value by its dotted name, and the expression that stands for it. */
export interface TrialValue {
  readonly name: string;
  readonly text: string;
}

/** As it is read: a number that stands for one with a tolerance has that tolerance too. */
export interface ReadTrialValue extends TrialValue {
  readonly full: string;
  /** The tolerance that what is tried leaves out; null where it leaves none out. */
  readonly without: string | null;
}

/** Why a value can't be tried: a whole sentence. */
export interface TrialProblem {
  readonly name: string;
  readonly message: string;
}

/** What a trial stands on. */
export interface TrialGround {
  readonly namespace: Namespace;
  readonly library: Namespace;
  readonly data: DataSource;
  readonly base: Evaluation;
  readonly index: VerificationIndex;
  readonly settings: VerificationSettings;
  readonly checkResults: CheckResults;
}

interface Tried {
  readonly name: string;
  readonly item: ValueItem | null;
  readonly problem: string | null;
}

export class Trial {
  private readonly tried: readonly Tried[];
  private readonly stated = new Map<string, { readonly of: ValueItem; readonly item: ValueItem }>();
  private readonly evaluations = new Map<string | null, Evaluation>();
  /** The configurations as they are with the values tried. */
  views: readonly ConfigurationView[] = [];
  problems: readonly TrialProblem[] = [];

  constructor(readonly values: readonly ReadTrialValue[]) {
    this.tried = values.map(readValue);
  }

  /** Brings the trial in line with the model after `change`. */
  refresh(
    ground: TrialGround,
    configurations: ReadonlyMap<string | null, Overrides>,
    change: NamespaceChange,
    dataChanged: readonly Entity[],
    relations: boolean,
  ): void {
    const { targets, problems } = this.find(ground.namespace);
    for (const [name, evaluation] of this.evaluations)
      if (!configurations.has(name)) {
        evaluation.dispose();
        this.evaluations.delete(name);
      }
    const before = new Map(this.views.map(view => [view.name, view]));
    this.views = [...configurations].map(([name, overrides]) => {
      const known = this.evaluations.get(name);
      const evaluation = known ?? new Evaluation(ground.namespace, ground.library, ground.data, name, ground.base);
      this.evaluations.set(name, evaluation);
      evaluation.update(change, withTargets(overrides, ground.namespace, targets), dataChanged);
      const verification =
        before.get(name)?.verification ??
        new Verification(evaluation, ground.index, ground.settings, ground.checkResults);
      verification.refresh(ground.index, ground.settings, evaluation.takeTouched(), relations || !known);
      return { name, evaluation, verification };
    });
    for (const [name, { entity, field }] of targets)
      problems.push(...this.mismatches(name, entity, field, ground.base));
    this.problems = problems;
  }

  private find(namespace: Namespace): { targets: Map<string, Target>; problems: TrialProblem[] } {
    const targets = new Map<string, Target>();
    const problems: TrialProblem[] = [];
    for (const { name, item, problem } of this.tried) {
      const target = targetOf(namespace, name);
      if (!item) problems.push({ name, message: problem! });
      else if (!target) problems.push({ name, message: `There is no value ${name} to try another for.` });
      else targets.set(name, { ...target, item: this.withStatements(name, item, target) });
    }
    return { targets, problems };
  }

  /** What is said of a value (maturity, basis, source) holds for what is tried in its place. */
  private withStatements(name: string, item: ValueItem, { entity, field }: Omit<Target, 'item'>): ValueItem {
    const of = entity.values.get(field)!;
    const known = this.stated.get(name);
    if (known?.of === of) return known.item;
    const made = { ...item, annotations: { ...of.annotations, ...item.annotations } };
    this.stated.set(name, { of, item: made });
    return made;
  }

  /** What elaborating the value found, and where it is another kind of quantity than the one it stands for. */
  private mismatches(name: string, entity: Entity, field: string, base: Evaluation): TrialProblem[] {
    const cell = this.views[0]?.evaluation.cell(entity, valueKey(field));
    if (!cell) return [];
    const [first] = cell.problems;
    if (first) return [{ name, message: wordMessage(RULES.get(first.code)?.message ?? first.code, first.data) }];
    const own = base.valueOf(entity, field);
    const differs =
      own &&
      (own.kind !== cell.value.kind ||
        (own.kind === 'quantity' &&
          cell.value.kind === 'quantity' &&
          (own.dimension !== cell.value.dimension || own.point !== cell.value.point)));
    return differs && own.kind !== 'poison'
      ? [{ name, message: `${name} is ${said(own)}; what is tried for it is ${said(cell.value)}.` }]
      : [];
  }

  dispose(): void {
    for (const evaluation of this.evaluations.values()) evaluation.dispose();
    this.evaluations.clear();
    this.views = [];
  }
}

interface Target {
  readonly entity: Entity;
  readonly field: string;
  readonly item: ValueItem;
}

/** The value behind a dotted name, as it may be tried: one that is written, without parameters. */
export function targetOf(
  namespace: Namespace,
  name: string,
): { readonly entity: Entity; readonly field: string } | null {
  const path = name.split('.');
  const field = path[path.length - 1]!;
  const entity =
    path.length === 1
      ? namespace.root
      : (namespace.resolvePath(path.slice(0, -1), namespace.root) ??
        namespace.labelled(path.slice(0, -1).join('.'))[0]);
  const item = entity?.values.get(field);
  return entity && item && !item.parameters && item.kind !== 'unit' ? { entity, field } : null;
}

/** The text of a trial is read as what stands behind `=`, in the scope of the value it stands for. */
function readValue({ name, full: text }: Pick<ReadTrialValue, 'name' | 'full'>): Tried {
  const [piece, more] = readPieces(
    'trial:',
    `configuration trial { ${name.slice(name.lastIndexOf('.') + 1)} = ${text.trim()}\n}`,
    [],
  );
  const declaration = piece?.lowered.root.children[0];
  const problem =
    piece?.problems[0]?.message ??
    piece?.lowered.problems.map(found => wordMessage(RULES.get(found.code)?.message ?? found.code, found.data))[0];
  const [item] = declaration?.values ?? [];
  const single = !more && declaration?.values.length === 1 && declaration.children.length === 0;
  if (problem !== undefined || !item || !single || text.trim() === '')
    return {
      name,
      item: null,
      problem: problem ?? `\u201c${text}\u201d is no value: write a number with its unit, a name, or an expression.`,
    };
  return { name, item, problem: null };
}

/** A number that is tried for one with a tolerance keeps the tolerance: to try another, one writes it. */
export function readTrialValue(
  namespace: Namespace,
  textOf: (file: string) => string,
  { name, text }: TrialValue,
): ReadTrialValue {
  const target = targetOf(namespace, name);
  const item = target?.entity.values.get(target.field);
  const tried = readValue({ name, full: text }).item?.value;
  if (item?.value.kind !== 'tolerance' || !tried || has(tried, 'tolerance'))
    return { name, text, full: text, without: null };
  const [nominal, whole] = [spanOf(item, item.value.nominal.id), spanOf(item, item.value.id)];
  const tolerance = textOf(item.placement.file)
    .slice(nominal.end, whole.end)
    .replace(/^[\s)]+/, '');
  if (['name', 'member', 'call'].some(kind => has(tried, kind))) return { name, text, full: text, without: tolerance };
  const number = tried.kind === 'number' || tried.kind === 'unary' ? text.trim() : `(${text.trim()})`;
  return { name, text, full: `${number} ${tolerance}`, without: null };
}

function has(expression: Expression, kind: string): boolean {
  let found = false;
  walk(expression, node => void (found ||= node.kind === kind));
  return found;
}

/**
 * The entities that take a value from where it is written: the block itself, and what repeats it as an instance of a
 * kind.
 */
function sharersOf(namespace: Namespace, entity: Entity, field: string): Entity[] {
  const item = entity.values.get(field);
  const shares = (other: Entity): boolean =>
    (other.base === entity || other.template === entity) && other.values.get(field) === item;
  return [entity, ...[...namespace.entitiesOf('part'), ...namespace.entitiesOf(entity.kind)].filter(shares)];
}

/** A check with another value for one of the model's, over and over: nothing but the check is judged. */
export class Probe {
  private readonly evaluations: readonly { readonly overrides: Overrides; readonly view: Evaluation }[];

  constructor(
    private readonly ground: Omit<TrialGround, 'index' | 'settings' | 'checkResults'>,
    configurations: ReadonlyMap<string | null, Overrides>,
    private readonly beside: readonly ReadTrialValue[],
  ) {
    const { namespace, library, data, base } = ground;
    this.evaluations = [...configurations].map(([name, overrides]) => ({
      overrides,
      view: new Evaluation(namespace, library, data, name, base),
    }));
  }

  /** The check in each configuration. */
  check(value: ReadTrialValue, entity: Entity, check: number): CheckResult[] {
    const { namespace } = this.ground;
    const targets = new Map<string, Target>();
    for (const { name, item } of [...this.beside, value].map(readValue)) {
      const target = targetOf(namespace, name);
      if (target && item) targets.set(name, { ...target, item });
    }
    return this.evaluations.flatMap(({ overrides, view }) => {
      view.update(NO_CHANGE, withTargets(overrides, namespace, targets));
      const cell = view.cell(entity, checkKey(check));
      return cell ? [evaluateCheck(view, cell, 0)] : [];
    });
  }

  dispose(): void {
    for (const { view } of this.evaluations) view.dispose();
  }
}

function withTargets(overrides: Overrides, namespace: Namespace, targets: ReadonlyMap<string, Target>): Overrides {
  const all = new Map([...overrides].map(([entity, names]) => [entity, new Map(names)]));
  for (const { entity, field, item } of targets.values()) {
    for (const sharer of sharersOf(namespace, entity, field)) {
      const names = all.get(sharer) ?? new Map<string, { item: ValueItem; scope: Entity }>();
      names.set(field, { item, scope: sharer });
      all.set(sharer, names);
    }
  }
  return all;
}

function said(value: Value): string {
  return value.kind === 'quantity' ? dimensionWords(value) : describeKind(value);
}
