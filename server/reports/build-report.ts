/** The check report of an evaluated project. */
import { spanOf } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { lineAt, lineStarts } from '../syntax/scan.js';
import { caseName, type CheckResult, type Outcome, type RowResult } from '../engine/margin.js';
import { citationText, distanceSymbol, factorChain, printSides } from '../engine/explain.js';
import { allowablesOf, factorsOf, nameOf, winners, type ReachedValue } from '../engine/facts.js';
import { reasonOf } from '../engine/reasons.js';
import { headlineOf, type RequirementResult } from '../engine/verification.js';
import { requirementsInOrder } from '../engine/verification-index.js';
import type { Place, Quantity } from '../engine/values/value.js';
import { loadMatrix } from '../findings/coverage.js';
import { libraryOverrides } from '../findings/libraries.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Finding, Project } from '../project/project.js';
import { formatQuantity, fromSI, readableUnit, type Unit } from '../units/index.js';
import type {
  CheckEntry,
  CheckReport,
  DiagnosticReport,
  LibraryReport,
  MethodEntry,
  QuantityReport,
  RequirementReport,
  RowEntry,
} from './check-report.js';
import { massReports, massTotals } from './mass-report.js';
import { titleText } from './names.js';
import { assumptionsOf, clauseOf, loadsOf, provenanceOf } from './provenance.js';
import { totalsOf } from './totals.js';
import { valueReports } from './value-report.js';

export interface ReportRequest {
  readonly version: string;
  readonly values: readonly string[];
  readonly rows: boolean;
}

/** Tells line and character of an offset. */
export interface Positions {
  position(file: string, offset: number): { readonly line: number; readonly character: number };
}

/** Line starts of the sources, made once a file. */
class Lines implements Positions {
  private readonly starts = new Map<string, Int32Array>();
  constructor(private readonly project: Project) {}

  position(file: string, offset: number): { line: number; character: number } {
    const starts = this.of(file);
    const line = lineAt(starts, offset);
    return { line, character: offset - starts[line]! };
  }

  private of(file: string): Int32Array {
    let starts = this.starts.get(file);
    if (!starts) {
      starts = lineStarts(this.project.text(file) ?? '');
      this.starts.set(file, starts);
    }
    return starts;
  }
}

export function buildReport(project: Project, request: ReportRequest): CheckReport {
  const lines = new Lines(project);
  const entity = project.projectEntity;
  const requirements = requirementsInOrder(project.view.verification.index).map(requirement =>
    requirementReport(project, requirement, lines, request),
  );
  const diagnostics = project.files.flatMap(file =>
    project.findings(file).map(finding => diagnosticReport(finding, lines)),
  );
  const base = {
    schema: 'gusset-check-report/1' as const,
    tool: { name: 'gusset' as const, version: request.version },
    project: entity
      ? { name: entity.name, title: titleText(project.view, entity), revision: revisionOf(project) }
      : null,
    asOf: project.asOf,
    asOfOrigin: project.asOfOrigin,
    configurations: configurationNames(project),
    requirements,
    values: request.values.flatMap(name => valueReports(project, name)),
    mass: project.configurations.flatMap(view => massReports(project, view)),
    loads: loadMatrix(project).map(({ part, uses }) => ({
      part: part.path,
      loads: Object.fromEntries([...uses].map(([load, use]) => [load.name, use])),
    })),
    ...provenanceOf(project),
    ...(project.libraries.length > 0 ? { libraries: libraryReports(project) } : {}),
    diagnostics,
  };
  return { ...base, totals: totalsOf(base, massTotals(project)) };
}

function libraryReports(project: Project): LibraryReport[] {
  const overrides = libraryOverrides(project);
  return project.libraries.map(({ key, name, path, project: stated, revision, hash }) => ({
    name,
    path,
    project: stated,
    revision,
    content: hash,
    overrides: overrides
      .filter(override => override.library.key === key)
      .map(override => ({ configuration: override.configuration.name, value: override.path })),
  }));
}

/** The configurations that are evaluated; none where there is the base model alone. */
export function configurationNames(project: Project): string[] {
  return project.configurations.map(view => view.name).filter(name => name !== null);
}

/** The revision that the project block names. */
export function revisionOf(project: Project): string | null {
  const entity = project.projectEntity;
  const value = entity ? project.view.evaluation.valueOf(entity, 'revision') : undefined;
  return value?.kind === 'text' || value?.kind === 'date' ? value.text : null;
}

// ---- requirements ---------------------------------------------------------------------------------------------------

function requirementReport(project: Project, entity: Entity, lines: Lines, request: ReportRequest): RequirementReport {
  const results = project.results(entity);
  const { view, result } = headlineOf(results)!;
  const { declaration } = entity;
  const position = lines.position(declaration.placement.file, spanOf(declaration, 2).start);
  const { governing } = result;
  return {
    label: entity.label,
    text: titleText(view, entity) ?? '',
    part: entity.part?.path ?? null,
    status: result.status,
    thin: results.some(entry => entry.result.thin),
    reasons: [...result.reasons],
    ...marginFields(governing),
    governing: governing ? governingText(project, view, governing) : null,
    imprint: null,
    file: declaration.placement.file,
    line: position.line + 1,
    statusByConfiguration: Object.fromEntries(
      results.filter(entry => entry.view.name !== null).map(entry => [entry.view.name!, entry.result.status]),
    ),
    checks: results.flatMap(entry =>
      entry.result.checks.map(check => checkEntry(project, entry.view, check, lines, request)),
    ),
    methods: methodEntries(results.map(entry => entry.result)),
    source: clauseOf(view, entity),
    loads: loadsOf(view, entity),
    assumptions: assumptionsOf(view, entity),
    parents: (view.verification.index.parents.get(entity) ?? []).map(parent => parent.label),
    children: result.children.map(child => child.label),
    waiver: result.waiver?.label ?? null,
    evidence: result.evidence.map(item => item.label),
  };
}

export function marginFields(outcome: Outcome | null): {
  margin: number | null;
  marginKind: RequirementReport['marginKind'];
  marginUnit: string | null;
} {
  if (!outcome) return { margin: null, marginKind: null, marginUnit: null };
  if (outcome.margin === Infinity) return { margin: null, marginKind: 'unbounded', marginUnit: null };
  if (outcome.kind === 'boolean')
    return { margin: null, marginKind: outcome.passes === null ? null : 'boolean', marginUnit: null };
  if (outcome.margin !== outcome.margin) return { margin: null, marginKind: outcome.kind, marginUnit: null };
  if (outcome.kind !== 'distance') return { margin: outcome.margin, marginKind: outcome.kind, marginUnit: null };
  const { unit } = printSides(outcome);
  return {
    margin: unit ? outcome.margin / unit.factor : outcome.margin,
    marginKind: 'distance',
    marginUnit: unit ? distanceSymbol(unit) : '',
  };
}

/** The case, and what `max` or `min` chose on the way. */
export function governingText(project: Project, view: ConfigurationView, row: RowResult): string | null {
  const name = caseName(view.evaluation, row.row);
  const chosen = row.leaf
    ? [row.leaf.left.node, row.leaf.right.node].flatMap(node =>
        winners(view.evaluation, node, place => sourceOf(project, place)),
      )
    : [];
  const unique = [...new Set(chosen)].slice(0, 2);
  return [name, ...unique].filter(Boolean).join('; ') || null;
}

function sourceOf(project: Project, { owner, id }: Place): string {
  const { start, end } = spanOf(owner, id);
  return (project.text(owner.placement.file) ?? '').slice(start, end).replace(/\s+/g, ' ').trim();
}

export function checkEntry(
  project: Project,
  view: ConfigurationView,
  check: CheckResult,
  lines: Positions,
  request: Pick<ReportRequest, 'rows'>,
): CheckEntry {
  const { governing, item } = check;
  const span = spanOf(item, item.condition.id);
  return {
    mode: item.mode,
    configuration: view.name,
    ...marginFields(governing),
    thin: check.thin,
    passes: check.passes,
    governing: governing ? governingText(project, view, governing) : null,
    cause: causeReport(view, check, lines),
    applied: governing ? sideReport(governing, 'left') : null,
    relation: relationOf(governing),
    allowable: governing ? sideReport(governing, 'right') : null,
    ...allowableFields(view, governing),
    factors: governing ? factorChain(factorsOf(view.evaluation, governing.row)) : [],
    reading: check.reading,
    line: lines.position(item.placement.file, span.start).line + 1,
    formula: (project.text(item.placement.file) ?? '').slice(span.start, span.end).replace(/\s+/g, ' '),
    rowCount: check.rowCount,
    ...(request.rows ? { rows: check.rows.map(row => rowEntry(view, row)) } : {}),
  };
}

function causeReport(view: ConfigurationView, check: CheckResult, lines: Positions): CheckEntry['cause'] {
  const reason = reasonOf(check);
  if (!reason) return null;
  const { place } = reason;
  const file = place?.owner.placement.file ?? null;
  const line = place ? lines.position(file!, spanOf(place.owner, place.id).start).line + 1 : null;
  return { message: view.verification.settings.say(reason), file, line };
}

export function allowableFields(
  view: ConfigurationView,
  governing: RowResult | null,
): Pick<CheckEntry, 'allowableBasis' | 'allowableSource'> {
  const allowable = governing?.leaf ? allowableOf(view, governing) : null;
  return {
    allowableBasis: allowable?.annotations.basis ?? null,
    allowableSource: allowable
      ? (citationText(view.evaluation, allowable.entity, allowable.annotations) ?? nameOf(allowable))
      : null,
  };
}

/** The allowable that a reviewer asks about first: one of a material with a basis, else any of a material. */
function allowableOf(view: ConfigurationView, row: RowResult): ReachedValue | null {
  const leaf = row.leaf!;
  const side = leaf.operator.startsWith('<') ? leaf.right : leaf.left;
  const reached = allowablesOf(view.evaluation, side.node);
  const found = reached.length > 0 ? reached : allowablesOf(view.evaluation, leaf.left.node);
  return found.find(value => value.annotations.basis) ?? found.find(value => value.annotations.source) ?? null;
}

function relationOf(row: RowResult | null): CheckEntry['relation'] {
  if (!row?.leaf) return 'boolean';
  if (row.row.condition?.kind === 'range') return 'range';
  const { operator } = row.leaf;
  return operator === '==' || operator === '!=' ? 'boolean' : operator;
}

function sideReport(row: RowResult, side: 'left' | 'right'): QuantityReport | null {
  if (!row.leaf) return null;
  const { unit } = printSides(row);
  return quantityReport(row.leaf[side], side === 'left' ? row.left : row.right, unit);
}

function quantityReport(quantity: Quantity, si: number, wanted: Unit | null): QuantityReport {
  const unit = wanted ?? quantity.unit ?? readableUnit(quantity.dimension, si, quantity.point);
  if (!Number.isFinite(si))
    return { value: null, unit: unit.symbol, text: si === Infinity ? 'unbounded' : 'undetermined' };
  return {
    value: fromSI(unit, si, { difference: !quantity.point }),
    unit: unit.symbol,
    text: formatQuantity(si, quantity.dimension, { unit, point: quantity.point }),
  };
}

function rowEntry(view: ConfigurationView, row: RowResult): RowEntry {
  const { margin, marginKind } = marginFields(row);
  return {
    case: caseName(view.evaluation, row.row),
    margin,
    marginKind,
    applied: sideReport(row, 'left'),
    allowable: sideReport(row, 'right'),
    passes: row.passes,
    note: row.reason?.code ?? (row.negative ? 'negative applied value' : null),
  };
}

/** A method is closed when it is in every configuration. */
function methodEntries(results: readonly RequirementResult[]): MethodEntry[] {
  return (results[0]?.methods ?? []).map(({ method }, i) => {
    const all = results.map(result => result.methods[i]!);
    const closed = all.every(entry => entry.closed);
    return {
      method: method.name,
      article: method.article ? `${method.each ? 'each ' : ''}${method.article.path.join('.')}` : null,
      level: method.level,
      milestone: method.milestone?.path[0] ?? null,
      closed,
      by: closed ? [...new Set(all.map(entry => entry.by).filter(by => by !== null))].join(', ') || null : null,
      evidence: closed ? [...new Set(all.flatMap(entry => entry.evidence.map(item => item.label)))] : [],
      open: [...new Set(all.flatMap(entry => entry.open))],
    };
  });
}

// ---- findings -------------------------------------------------------------------------------------------------------

function diagnosticReport(finding: Finding, lines: Lines): DiagnosticReport {
  const range = (file: string, start: number, end: number): DiagnosticReport['range'] => ({
    start: lines.position(file, start),
    end: lines.position(file, end),
  });
  return {
    code: finding.code,
    severity: finding.severity,
    message: finding.message,
    file: finding.file,
    range: range(finding.file, finding.start, finding.end),
    related: finding.related.map(related => ({
      message: related.message,
      file: related.file,
      range: range(related.file, related.start, related.end),
    })),
  };
}
