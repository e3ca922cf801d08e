/** What the views of an editor show of a project. */
import { caseName, type CheckResult } from '../engine/margin.js';
import { printSides } from '../engine/explain.js';
import { isTemplate, requirementsInOrder } from '../engine/verification-index.js';
import { wordOf } from '../engine/values/words.js';
import { spanOf, type Declaration } from '../model/declaration.js';
import type { Reference } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import type {
  ChainEntry,
  Location,
  PartOverview,
  ProjectCounts,
  ProjectOverview,
  RequirementOverview,
  Status,
} from '../protocol/overview.js';
import { configurationNames, revisionOf } from '../reports/build-report.js';
import { largestMass, massLimit, massReports } from '../reports/mass-report.js';
import { titleText } from '../reports/names.js';
import { inTurns, type FeatureContext } from './feature.js';
import { withDegrees } from '../units/index.js';
import { marginAlone, openText, worstResult } from './status.js';
import { declared } from '../model/statements.js';

export async function overviewOf(context: FeatureContext, project: Project): Promise<ProjectOverview> {
  const parts = partsOf(context, project);
  return {
    ...identityOf(context, project),
    revision: revisionOf(project),
    asOf: project.asOf,
    ownDate: project.ownDate,
    milestones: milestonesOf(project),
    configurations: configurationNames(project),
    requirements: await requirementsOf(context, project),
    parts,
    massLimit: massLimit(project),
    massPredicted: largestMass(project),
    chain: chainOf(context, project),
  };
}

function milestonesOf(project: Project): ProjectOverview['milestones'] {
  return project.namespace
    .ofKind('milestone')
    .flatMap(entity => {
      const date = wordOf(entity, 'date');
      return date ? [{ name: entity.name, title: titleText(project.view, entity) ?? '', date }] : [];
    })
    .sort((x, y) => (x.date < y.date ? -1 : x.date > y.date ? 1 : 0));
}

export async function countsOf(context: FeatureContext, project: Project): Promise<ProjectCounts> {
  const requirements: Partial<Record<Status, number>> = {};
  await inTurns(context, project.view.verification.index.requirements, entity => {
    const status = worstResult(project, entity)?.result.status;
    if (status) requirements[status] = (requirements[status] ?? 0) + 1;
  });
  return {
    ...identityOf(context, project),
    requirements,
    parts: project.namespace.ofKind('part').filter(part => !isTemplate(part)).length,
    configurations: configurationNames(project).length,
  };
}

function identityOf(context: FeatureContext, project: Project): Pick<ProjectOverview, 'uri' | 'name'> {
  return { uri: context.uri(project.ownFiles[0] ?? ''), name: project.projectEntity?.name ?? 'No project block' };
}

async function requirementsOf(context: FeatureContext, project: Project): Promise<RequirementOverview[]> {
  const found: RequirementOverview[] = [];
  await inTurns(context, requirementsInOrder(project.view.verification.index), entity => {
    const overview = requirementOverview(context, project, entity);
    if (overview) found.push(overview);
  });
  return found;
}

export function requirementOverview(
  context: FeatureContext,
  project: Project,
  entity: Entity,
): RequirementOverview | null {
  const worst = worstResult(project, entity);
  if (!worst) return null;
  const { result, view } = worst;
  const governing = result.governing;
  const sides = governing?.leaf ? printSides(governing) : null;
  return {
    label: entity.label,
    text: withDegrees(titleText(view, entity) ?? ''),
    part: entity.part?.path ?? null,
    status: result.status,
    thin: result.thin,
    margin: marginAlone(result.governingCheck),
    governing: governing ? caseName(view.evaluation, governing.row) || null : null,
    reasons: result.reasons.map(withDegrees),
    open: openText(result),
    milestones: [
      ...new Set(result.methods.map(({ method }) => method.milestone?.path[0]).filter(name => name !== undefined)),
    ],
    applied: sides && withDegrees(sides.applied),
    allowable: sides && withDegrees(sides.allowable),
    location: locationOfDeclaration(context, entity.declaration),
    check: result.governingCheck && locationOfCheck(context, result.governingCheck.item),
  };
}

export function locationOfDeclaration(context: FeatureContext, declaration: Declaration): Location {
  const { file } = declaration.placement;
  const name = spanOf(declaration, 2);
  return {
    uri: context.uri(file),
    ...context.linesOf(file).position(name.end > name.start ? name.start : spanOf(declaration, 0).start),
  };
}

function locationOfCheck(context: FeatureContext, check: CheckResult['item']): Location {
  const { file } = check.placement;
  return { uri: context.uri(file), ...context.linesOf(file).position(spanOf(check, check.id).start) };
}

function partsOf(context: FeatureContext, project: Project): PartOverview[] {
  const tried = new Map(
    project.trial?.views[0]
      ? massReports(project, project.trial.views[0]).map(report => [report.part, report.predicted])
      : [],
  );
  return massReports(project).map(({ part, title, depth, count, basic, predicted, maturity }) => {
    const entity = project.namespace.resolvePath(part.split('.'), project.namespace.root);
    return {
      part,
      title,
      depth,
      count,
      basic,
      predicted,
      maturity,
      tried: tried.get(part) ?? null,
      location: entity ? locationOfDeclaration(context, entity.declaration) : null,
    };
  });
}

// ---- the chain from material to evidence ----------------------------------------------------------------------------

/**
 * Materials with their lots; below a lot what is made from it, below an article its evidence, below that what it is
 * for.
 */
function chainOf(context: FeatureContext, project: Project): ChainEntry[] {
  const { namespace } = project;
  const named = (references: readonly Reference[]): Entity[] =>
    references
      .map(
        reference =>
          namespace.labelled(reference.path.join('.'))[0] ?? namespace.resolvePath(reference.path, namespace.root),
      )
      .filter(entity => entity !== undefined && entity !== null);
  const entry = (kind: ChainEntry['kind'], entity: Entity, detail: string, children: ChainEntry[]): ChainEntry => ({
    kind,
    label: entity.label || entity.path,
    detail,
    location: locationOfDeclaration(context, entity.declaration),
    children,
  });
  const title = (entity: Entity): string => titleText(project.view, entity) ?? '';
  const word = (entity: Entity, field: string): string => wordOf(entity, field) ?? '';
  const requirementOf = (entity: Entity): ChainEntry =>
    entry('requirement', entity, worstResult(project, entity)?.result.status ?? '', []);
  const evidenceEntry = (entity: Entity): ChainEntry =>
    entry(
      'evidence',
      entity,
      [word(entity, 'method'), word(entity, 'result'), word(entity, 'date')].filter(Boolean).join(' · '),
      named(declared(entity, 'evidence').targets)
        .filter(target => target.kind === 'requirement')
        .map(requirementOf),
    );
  const evidence = namespace.ofKind('evidence');
  const articleEntry = (article: Entity): ChainEntry =>
    entry(
      'article',
      article,
      [declared(article, 'article').of?.path.join('.'), title(article)].filter(Boolean).join(' · '),
      evidence.filter(item => named(declared(item, 'evidence').on).includes(article)).map(evidenceEntry),
    );
  const articles = namespace.ofKind('article');
  const parts = namespace.ofKind('part').filter(part => !part.template);
  const lotEntry = (lot: Entity): ChainEntry =>
    entry(
      'lot',
      lot,
      [
        word(lot, 'received') && `received ${word(lot, 'received')}`,
        lot.values.has('certificate') ? '' : 'no certificate',
      ]
        .filter(Boolean)
        .join(' · '),
      [
        ...parts
          .filter(part => named(part.values.get('material')?.annotations.from ?? []).includes(lot))
          .map(part => entry('part', part, title(part), [])),
        ...articles.filter(article => named(declared(article, 'article').from).includes(lot)).map(articleEntry),
      ],
    );
  const lots = namespace.ofKind('lot');
  const materialOf = (lot: Entity): Entity | null => {
    const { of } = declared(lot, 'lot');
    return of && namespace.resolvePath(of.path, namespace.root);
  };
  const ofMaterial = (material: Entity): Entity[] => lots.filter(lot => materialOf(lot) === material);
  const chained = new Set(lots.filter(materialOf));
  const loose = [
    ...lots.filter(lot => !chained.has(lot)).map(lotEntry),
    ...articles.filter(article => named(declared(article, 'article').from).length === 0).map(articleEntry),
    ...evidence.filter(item => named(declared(item, 'evidence').on).length === 0).map(evidenceEntry),
  ];
  return [
    ...namespace
      .ofKind('material')
      .map(material => entry('material', material, title(material), ofMaterial(material).map(lotEntry))),
    ...loose,
  ];
}
