/**
 * The margin sheet of a project: a row a check, in the configuration where it is worst, with what a trial makes of it.
 */
import type { Cell } from '../engine/evaluation/cell.js';
import type { CheckResult } from '../engine/margin.js';
import type { RequirementResult } from '../engine/verification.js';
import { requirementsInOrder } from '../engine/verification-index.js';
import { factorChain, printSides } from '../engine/explain.js';
import { factorsOf } from '../engine/facts.js';
import { spanOf } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Project } from '../project/project.js';
import type { Status } from '../protocol/overview.js';
import type { Sheet, SheetKind, SheetOutcome, SheetRow, TriedOutcome } from '../protocol/sheet.js';
import {
  allowableFields,
  configurationNames,
  governingText,
  marginFields,
  revisionOf,
} from '../reports/build-report.js';
import { largestMass, massLimit } from '../reports/mass-report.js';
import { titleText } from '../reports/names.js';
import type { CheckEntry } from '../reports/check-report.js';
import { DIMENSIONLESS, divide, FORCE, LENGTH, PRESSURE, TORQUE, withDegrees, type Dimension } from '../units/index.js';
import { inTurns, type FeatureContext } from './feature.js';
import { statusMoves, statusTried, trialState } from './trial-state.js';
import { worstCheck, worstResult } from './status.js';

type Body = SheetOutcome &
  Pick<SheetRow, 'mode' | 'configuration' | 'kind' | 'unit' | 'basis' | 'source' | 'factors' | 'cases'>;

/** What is dear to make of a check's result, kept as long as neither the result nor what it rests on moved. */
const bodies = new WeakMap<
  CheckResult,
  { readonly foundation: number; readonly configuration: string | null; readonly body: Body }
>();

function bodyOf(project: Project, view: ConfigurationView, check: CheckResult, configuration: string | null): Body {
  const known = bodies.get(check);
  const { foundation } = check.cell;
  if (known?.foundation === foundation && known.configuration === configuration) return known.body;
  const { governing } = check;
  const { margin, marginKind, marginUnit } = marginFields(governing);
  const { allowableBasis, allowableSource } = allowableFields(view, governing);
  const factors = governing ? factorChain(factorsOf(view.evaluation, governing.row)) : [];
  const sides = governing && printSides(governing);
  const body: Body = {
    mode: check.item.mode,
    configuration,
    kind: kindOf(check, marginKind, factors),
    unit: marginUnit,
    basis: allowableBasis,
    source: allowableSource,
    factors,
    cases: check.rowCount,
    margin,
    marginText: sides?.margin ?? 'undetermined',
    governing: (governing && withDegrees(governingText(project, view, governing) ?? '')) || null,
    applied: governing?.leaf ? withDegrees(sides!.applied) : '',
    allowable: governing?.leaf ? withDegrees(sides!.allowable) : '',
    passes: check.passes,
  };
  bodies.set(check, { foundation, configuration, body });
  return body;
}

/** Stresses and loads, and forces along an edge. */
const STRENGTH: ReadonlySet<Dimension> = new Set([PRESSURE, FORCE, TORQUE, divide(FORCE, LENGTH)]);

function kindOf(
  { passes, governing }: CheckResult,
  marginKind: CheckEntry['marginKind'],
  factors: readonly string[],
): SheetKind {
  if (passes === null || marginKind === null) return 'undetermined';
  if (marginKind !== 'strength') return marginKind;
  const dimension = governing?.leaf?.left.dimension;
  // A pure number is one of strength where factors of safety are in it: a reserve, an interaction.
  const isStrength =
    dimension === DIMENSIONLESS ? factors.length > 0 : dimension !== undefined && STRENGTH.has(dimension);
  return isStrength ? 'strength' : 'other';
}

/** Every check of every requirement; `id` is the requirement's key and the check's number. */
async function rowsOf(context: FeatureContext, project: Project): Promise<Map<string, SheetRow>> {
  const rows = new Map<string, SheetRow>();
  await inTurns(context, requirementsInOrder(project.view.verification.index), entity => {
    for (const row of rowsOfRequirement(context, project, entity)) rows.set(row.id, row);
  });
  return rows;
}

/** Rows by their ids, whatever of the others is still to be judged. */
export function rowsById(context: FeatureContext, ids: readonly string[]): SheetRow[] {
  const { project } = context;
  return ids.flatMap(id => {
    const entity = project.namespace.entities.get(requirementOf(id));
    const isJudged = entity !== undefined && worstResult(project, entity) !== null;
    return isJudged ? rowsOfRequirement(context, project, entity).filter(row => row.id === id) : [];
  });
}

/** What the rows of a requirement are made of: where it stands, how it is judged, and what the checks rest on. */
interface Ground {
  readonly declaration: Entity['declaration'];
  readonly spans: readonly number[];
  readonly start: number;
  readonly lines: object;
  /** Of every configuration, then of every one with what is tried. */
  readonly results: readonly RequirementResult[];
  readonly foundation: number;
}
const known = new WeakMap<Entity, { readonly ground: Ground; readonly rows: readonly SheetRow[] }>();

/** Rows of a requirement, the same as long as all that they are made of is. */
function rowsOfRequirement(context: FeatureContext, project: Project, entity: Entity): readonly SheetRow[] {
  const ground = groundOf(context, project, entity);
  const before = known.get(entity);
  if (before && isSame(before.ground, ground)) return before.rows;
  const rows = makeRows(context, project, entity);
  known.set(entity, { ground, rows });
  return rows;
}

function groundOf(context: FeatureContext, project: Project, entity: Entity): Ground {
  const { declaration } = entity;
  const results: RequirementResult[] = [];
  let foundation = 0;
  const add = ({ verification }: ConfigurationView): void => {
    const result = verification.result(entity);
    results.push(result);
    for (const { cell } of result.checks) foundation += cell.foundation;
  };
  project.configurations.forEach(add);
  project.trial?.views.forEach(add);
  const { placement, spans } = declaration;
  return { declaration, spans, start: placement.start, lines: context.linesOf(placement.file), results, foundation };
}

function isSame(x: Ground, y: Ground): boolean {
  return (
    x.declaration === y.declaration &&
    x.spans === y.spans &&
    x.start === y.start &&
    x.lines === y.lines &&
    x.foundation === y.foundation &&
    x.results.length === y.results.length &&
    x.results.every((result, i) => result === y.results[i])
  );
}

function makeRows(context: FeatureContext, project: Project, entity: Entity): SheetRow[] {
  const worst = worstResult(project, entity);
  if (!worst) return [];
  const { status, checks } = worst.result;
  return entity.checks.flatMap((item, i) => {
    const body = worstBody(project, project.configurations, entity, i);
    const { file } = item.placement;
    return body
      ? {
          id: `${entity.key}#${i + 1}`,
          requirement: entity.label,
          text: withDegrees(titleText(worst.view, entity) ?? ''),
          part: entity.part?.path ?? null,
          status,
          thin: checks[i]?.thin ?? false,
          ...body,
          location: { uri: context.uri(file), ...context.linesOf(file).position(spanOf(item, item.id).start) },
          requirementLine: context.linesOf(file).position(spanOf(entity.declaration, 0).start).line,
          tried: triedOutcome(project, entity, i, body, status),
        }
      : [];
  });
}

function worstBody(project: Project, views: readonly ConfigurationView[], entity: Entity, i: number): Body | null {
  const worst = worstCheck(views, entity, i);
  return worst && bodyOf(project, worst.view, worst.check, worst.configuration);
}

/** What a trial makes of a check; null where nothing would be seen to move. */
function triedOutcome(project: Project, entity: Entity, i: number, now: Body, status: Status): TriedOutcome | null {
  const tried = project.trial ? worstBody(project, project.trial.views, entity, i) : null;
  if (!tried) return null;
  const then = statusTried(project, entity) ?? status;
  if (tried.marginText === now.marginText && tried.passes === now.passes && then === status) return null;
  const { margin, marginText, governing, applied, allowable, passes } = tried;
  return { margin, marginText, governing, applied, allowable, passes, status: then };
}

// ---- only what moved is sent ----------------------------------------------------------------------------------------

interface Sent {
  readonly version: number;
  readonly rows: ReadonlyMap<string, SheetRow>;
}
const sent = new WeakMap<Project, Sent>();
// A server that was started anew must not take the version of the one before for its own.
let versions = Math.floor(Math.random() * 2 ** 40);

/** The sheet; to a client that has version `known`, only the rows that differ. */
export async function sheetOf(context: FeatureContext, known: number | null): Promise<Sheet> {
  const { project } = context;
  const before = sent.get(project);
  const base = before && before.version === known ? before.rows : null;
  const rows = await rowsOf(context, project);
  for (const [id, row] of base ? rows : []) {
    const old = base!.get(id);
    if (old && old !== row && sameRow(old, row)) rows.set(id, old);
  }
  const version = ++versions;
  sent.set(project, { version, rows });
  const entity = project.projectEntity;
  return {
    name: entity?.name ?? '',
    revision: revisionOf(project),
    asOf: project.asOf,
    asOfOrigin: project.asOfOrigin.text,
    configurations: configurationNames(project),
    version,
    rows: [...rows.values()].filter(row => base?.get(row.id) !== row),
    order: base ? orderAfter(base, rows) : null,
    thinBelow: project.thinMargin,
    mass: {
      predicted: largestMass(project),
      limit: massLimit(project),
      tried: project.trial?.views[0] ? largestMass(project, project.trial.views) : null,
    },
    trial: trialState(context),
    statuses: statusMoves(project),
  };
}

function orderAfter(before: ReadonlyMap<string, SheetRow>, now: ReadonlyMap<string, SheetRow>): Sheet['order'] {
  const ids = [...now.keys()];
  let i = 0;
  const same = before.size === now.size && [...before.keys()].every(id => id === ids[i++]);
  return same ? 'as before' : ids;
}

function sameRow(x: SheetRow, y: SheetRow): boolean {
  return (Object.keys(y) as (keyof SheetRow)[]).every(
    name => x[name] === y[name] || (typeof y[name] === 'object' && JSON.stringify(x[name]) === JSON.stringify(y[name])),
  );
}

/** The key of the requirement that a row's id begins with. */
function requirementOf(id: string): string {
  return id.slice(0, id.lastIndexOf('#'));
}

/** The check behind a row's id, in the configuration where it is worst. */
export function checkOfRow(
  project: Project,
  id: string,
): {
  readonly view: ConfigurationView;
  readonly check: CheckResult;
  readonly cell: Cell;
  readonly entity: Entity;
} | null {
  const entity = project.namespace.entities.get(requirementOf(id));
  const i = Number(id.slice(id.lastIndexOf('#') + 1)) - 1;
  const worst = entity && worstResult(project, entity) && worstCheck(project.configurations, entity, i);
  return worst ? { ...worst, cell: worst.check.cell, entity } : null;
}
