import { factsOf } from '../../engine/facts.js';
import { requirementsInOrder } from '../../engine/verification-index.js';
import { spanOf } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { declared } from '../../model/statements.js';
import type { Project } from '../../project/project.js';
import { feature, locationOf, type FeatureContext, type PositionParams } from '../feature.js';
import { resolveReference, spotAt } from '../resolve.js';
import { checkKey } from '../../engine/evaluation/cell-key.js';

type NamePlace = { readonly file: string; readonly start: number; readonly end: number };

/** Requirements looked at between two chances for others to come in between. */
const REQUIREMENTS_AT_ONCE = 200;

/**
 * What makes a thing real: a requirement's checks, evidence and waivers; a kind's instances; the checks that sweep a
 * load; the articles of a part; the parts and lots of a material.
 */
export default feature(
  'textDocument/implementation',
  { implementationProvider: true },
  async (context, params: PositionParams) => {
    const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
    if (target?.kind !== 'entity') return [];
    const places = await implementationsOf(context, target.entity);
    return places.map(({ file, start, end }) => locationOf(context, file, start, end));
  },
);

async function implementationsOf(context: FeatureContext, entity: Entity): Promise<NamePlace[]> {
  const { project } = context;
  const { namespace } = project;
  switch (entity.kind) {
    case 'requirement': {
      const { index } = project.view.verification;
      const checks = entity.checks.map(check => ({ file: check.placement.file, ...spanOf(check, check.id) }));
      return [
        ...checks,
        ...[...(index.evidence.get(entity) ?? []), ...(index.waivers.get(entity) ?? [])].map(placeOfName),
      ];
    }
    case 'kind':
      return namespace
        .ofKind('part')
        .filter(part => part.base === entity)
        .map(placeOfName);
    case 'load':
    case 'case':
      return sweepsOf(context, entity);
    case 'part':
      return namespace
        .ofKind('article')
        .filter(article => isOf(project, article, entity))
        .map(placeOfName);
    case 'material':
      return [
        ...namespace.ofKind('lot').filter(lot => isOf(project, lot, entity)),
        ...namespace.ofKind('part').filter(part => isMadeOf(context, part, entity)),
      ].map(placeOfName);
    default:
      return [];
  }
}

function isMadeOf(context: FeatureContext, part: Entity, material: Entity): boolean {
  const value = part.template ? undefined : context.project.view.evaluation.valueOf(part, 'material');
  return value?.kind === 'entity' && value.entity === material;
}

async function sweepsOf(context: FeatureContext, load: Entity): Promise<NamePlace[]> {
  const { evaluation, verification } = context.project.view;
  const places: NamePlace[] = [];
  let count = 0;
  for (const requirement of requirementsInOrder(verification.index)) {
    requirement.checks.forEach((check, i) => {
      const cell = evaluation.cell(requirement, checkKey(i));
      const sweeps =
        cell &&
        (factsOf(evaluation, cell).loads.includes(load) ||
          cell.plan?.rows.some(row =>
            row.values.some(values => values.some(value => value.kind === 'entity' && value.entity === load)),
          ));
      if (
        sweeps &&
        !places.some(place => place.file === check.placement.file && place.start === spanOf(check, check.id).start)
      )
        places.push({ file: check.placement.file, ...spanOf(check, check.id) });
    });
    if (++count % REQUIREMENTS_AT_ONCE === 0) await context.pause();
  }
  return places;
}

function placeOfName(entity: Entity): NamePlace {
  return { file: entity.declaration.placement.file, ...spanOf(entity.declaration, 2) };
}

/** Whether an article or a lot is said to be of something. */
function isOf(project: Project, made: Entity, model: Entity): boolean {
  const { of } = declared(made, 'article', 'lot');
  return of !== null && resolveReference(project, made, of.path) === model;
}
