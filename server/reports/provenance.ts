/** What statuses rest on, as a reviewer asks for it: documents, loads, assumptions, lots, articles, evidence. */
import { articleFaults, builtOn, lotGaps } from '../engine/articles.js';
import { dateOf, measuredFaults } from '../engine/evidence.js';
import { citationText } from '../engine/explain.js';
import { factsOf } from '../engine/facts.js';
import { isTemplate, lotsOf, madeOf } from '../engine/verification-index.js';
import { cited, citedFile, dayOf, wordOf } from '../engine/values/words.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Citation, Reference } from '../model/expression.js';
import { byPlace, type Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import type {
  ArticleReport,
  AssumptionReport,
  CheckReport,
  EvidenceReport,
  LoadEventReport,
  LotReport,
  SourceReport,
} from './check-report.js';
import { titleText, writtenText } from './names.js';
import { checkKey } from '../engine/evaluation/cell-key.js';
import { declared, saidIn } from '../model/statements.js';

type Provenance = Pick<CheckReport, 'loadEvents' | 'sources' | 'assumptions' | 'lots' | 'articles' | 'evidence'>;

export function provenanceOf(project: Project): Provenance {
  const { view } = project;
  const all = <T>(kind: string, report: (view: ConfigurationView, entity: Entity) => T): T[] =>
    project.namespace
      .ofKind(kind)
      .filter(entity => !isTemplate(entity))
      .sort(byPlace)
      .map(entity => report(view, entity));
  return {
    loadEvents: all('load', loadReport),
    sources: all('document', sourceReport),
    assumptions: all('assume', assumptionReport),
    lots: all('lot', lotReport),
    articles: all('article', articleReport),
    evidence: all('evidence', evidenceReport),
  };
}

/** The clause that a block says it is taken from. */
export function clauseOf({ evaluation }: ConfigurationView, entity: Entity): string | null {
  const source = saidIn(entity.declaration, 'source') ?? sourceField(entity);
  return source && citationText(evaluation, entity, { source });
}

/** `source = GUIDE "table 4-2"`, or words alone. */
function sourceField(entity: Entity): Citation | null {
  const item = entity.values.get('source');
  if (item?.value.kind === 'name')
    return { document: { id: item.value.id, path: [item.value.name] }, text: item.annotations.text ?? null };
  return item?.value.kind === 'text' ? { document: null, text: wordOf(entity, 'source') } : null;
}

/** Names of the loads that the checks of a requirement read. */
export function loadsOf({ evaluation }: ConfigurationView, requirement: Entity): string[] {
  const loads = new Set(checksOf(evaluation, requirement).flatMap(cell => factsOf(evaluation, cell).loads));
  return [...loads].sort(byPlace).map(load => load.path);
}

/** Labels of the assumptions that a requirement states, or that its checks and what they read are under. */
export function assumptionsOf({ evaluation }: ConfigurationView, requirement: Entity): string[] {
  const { namespace } = evaluation;
  const stated = namespace.ofKind('assume').filter(entity => entity.parent === requirement);
  const said = checksOf(evaluation, requirement).flatMap(cell => {
    const own = cell.item?.kind === 'check' ? [{ entity: requirement, annotations: cell.item.annotations }] : [];
    return [...own, ...factsOf(evaluation, cell).assuming];
  });
  const found = said.flatMap(({ entity, annotations: { under = [], source } }) =>
    [...under, ...(source?.document ? [source.document] : [])].flatMap(reference =>
      assumption(namespace.resolvePath(reference.path, entity) ?? namespace.labelled(cited(reference))[0]),
    ),
  );
  return unique([...stated, ...found].map(entity => entity.label));
}

function assumption(entity: Entity | undefined): Entity[] {
  return entity?.kind === 'assume' ? [entity] : [];
}

function checksOf(evaluation: ConfigurationView['evaluation'], requirement: Entity) {
  return requirement.checks.map((_, i) => evaluation.cell(requirement, checkKey(i))).filter(cell => cell !== undefined);
}

function loadReport(view: ConfigurationView, entity: Entity): LoadEventReport {
  return {
    name: entity.path,
    title: titleText(view, entity),
    level: wordOf(entity, 'level'),
    source: clauseOf(view, entity),
  };
}

function sourceReport(view: ConfigurationView, entity: Entity): SourceReport {
  return {
    name: entity.path,
    title: titleText(view, entity),
    revision: wordOf(entity, 'revision'),
    date: dayIn(view, entity, 'date'),
  };
}

function assumptionReport(view: ConfigurationView, entity: Entity): AssumptionReport {
  const { rationale } = declared(entity, 'assume');
  return {
    label: entity.label,
    text: titleText(view, entity) ?? '',
    source: clauseOf(view, entity),
    rationale: rationale && writtenText(rationale),
  };
}

function lotReport(view: ConfigurationView, entity: Entity): LotReport {
  return {
    label: entity.label,
    material: madeOf(view.evaluation.namespace, entity)?.path ?? null,
    certificate: citedFile(entity.values.get('certificate')?.value),
    received: dayIn(view, entity, 'received'),
    expires: dayIn(view, entity, 'expires'),
    open: lotGaps(view.verification, entity),
  };
}

function articleReport(view: ConfigurationView, entity: Entity): ArticleReport {
  const { namespace } = view.evaluation;
  return {
    label: entity.label,
    title: titleText(view, entity),
    of: madeOf(namespace, entity)?.path ?? null,
    lots: unique(lotsOf(namespace, entity).map(lot => lot.label)),
    built: builtOn(view.verification, entity),
    open: articleFaults(view.verification, entity),
  };
}

function evidenceReport(view: ConfigurationView, entity: Entity): EvidenceReport {
  const { on, targets } = declared(entity, 'evidence');
  return {
    label: entity.label,
    title: titleText(view, entity),
    method: wordOf(entity, 'method'),
    level: wordOf(entity, 'level'),
    date: dateOf(view.verification, entity),
    result: wordOf(entity, 'result'),
    report: citedFile(entity.values.get('report')?.value),
    articles: labels(on),
    requirements: labels(targets),
    open: measuredFaults(view.verification, entity),
  };
}

function dayIn({ evaluation }: ConfigurationView, entity: Entity, field: string): string | null {
  return dayOf(evaluation.namespace, entity, field);
}

const labels = (references: readonly Reference[]): string[] => references.map(cited);
const unique = (texts: readonly string[]): string[] => [...new Set(texts)];
