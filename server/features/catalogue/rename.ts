import { BLOCKS } from '../../language/index.js';
import type { Entity } from '../../model/namespace.js';
import { isElsewhere } from '../../project/paths.js';
import { LIBRARY, type Project } from '../../project/project.js';
import { feature, rangeOf, Refusal, workspaceEdit, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, sameTarget, spotAt, type Spot, type Target } from '../resolve.js';
import { knowing, targetsOf, usesByFile, type Use } from '../uses.js';
import { declared } from '../../model/statements.js';

const NAME = /^[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;
const LABEL = /^[\p{L}][\p{L}\p{N}_]*(-[\p{L}\p{N}_]+)*(\.\d+)*$/u;
const NAMED = new Set(['material', 'load', 'environment', 'factors', 'growth', 'kind', 'frame']);
/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;

/** Renames a name or label at its declaration and at every place that names it. */
export default [
  feature(
    'textDocument/rename',
    { renameProvider: { prepareProvider: true } },
    async (context, params: PositionParams & { readonly newName: string }) => {
      const places: { readonly file: string; readonly start: number; readonly end: number }[] = [];
      const { targets: own } = renamable(context, params);
      for (const [project, theirs] of knowing(context.projects, context.project, own)) {
        const { targets, uses } = await together(context, project, theirs);
        for (const target of targets) check(target, params.newName);
        places.push(...targets.map(declarationSpan), ...uses);
      }
      return workspaceEdit(
        context,
        places.map(({ file, start, end }) => ({
          file,
          start,
          end,
          text: params.newName,
        })),
      );
    },
  ),
  feature('textDocument/prepareRename', {}, (context, params: PositionParams) => {
    const {
      spot,
      targets: [target],
    } = renamable(context, params);
    const name = targetName(target);
    const start = spot.end - name.length;
    return {
      range: rangeOf(context.lines, context.text.slice(start, spot.end) === name ? start : spot.start, spot.end),
      placeholder: name,
    };
  }),
];

/**
 * What has to keep one name, with every place that names any of it: the fields of loads that one sweep reads by one
 * name.
 */
async function together(
  context: FeatureContext,
  project: Project,
  first: readonly Target[],
): Promise<{ readonly targets: readonly Target[]; readonly uses: readonly Use[] }> {
  let targets = first;
  for (;;) {
    const uses: Use[] = [];
    let count = 0;
    for (const found of usesByFile(project, targets)) {
      uses.push(...found);
      if (++count % FILES_AT_ONCE === 0) await context.pause();
    }
    const all = uses
      .flatMap(use => use.targets)
      .reduce((known, target) => (known.some(one => sameTarget(one, target)) ? known : [...known, target]), targets);
    if (all.length === targets.length) return { targets, uses };
    targets = all;
  }
}

function renamable(
  context: FeatureContext,
  params: PositionParams,
): { readonly spot: Spot; readonly targets: readonly [Target, ...Target[]] } {
  const spot = spotAt(context.project, context.file, context.lines.offset(params.position));
  const [target, ...others] = targetsOf(context.project, spot);
  if (!spot || !target) throw new Refusal('There is no name here that could be changed.');
  if (declarationSpan(target).file.startsWith(LIBRARY))
    throw new Refusal('A name of the formula library is not yours to change.');
  if (target.kind === 'entity' && target.entity.kind === 'library')
    throw new Refusal(`${target.entity.name} is a library; it is named behind as where it is brought in.`);
  if (isElsewhere(declarationSpan(target).file))
    throw new Refusal(
      `${targetName(target)} belongs to a library outside of the workspace's own folders: change it there.`,
    );
  if (target.kind === 'value') {
    const { entity, item } = target;
    if (item.kind === 'field' && BLOCKS.get(entity.kind)?.fields[item.name])
      throw new Refusal(`${item.name} is a field of every ${entity.kind}; its name is the language's.`);
    if (entity.base && declared(entity.base, 'kind').given.some(parameter => parameter.name === item.name))
      throw new Refusal(`${entity.base.name} asks its parts for ${item.name}; the name is given there.`);
  }
  return { spot, targets: [target, ...others] };
}

function targetName(target: Target): string {
  return target.kind === 'entity'
    ? target.entity.name
    : target.kind === 'value'
      ? target.item.path.at(-1)!
      : target.name;
}

function check(target: Target, name: string): void {
  const labelled = target.kind === 'entity' && !NAMED.has(target.entity.kind);
  if (!(labelled ? LABEL : NAME).test(name))
    throw new Refusal(
      `'${name}' is no ${labelled ? 'label' : 'name'}: letters, digits and _${labelled ? ' and -' : ''}, beginning with a letter.`,
    );
  const scope = target.kind === 'entity' ? target.entity.parent : target.kind === 'value' ? target.entity : null;
  if (scope && name !== targetName(target) && holds(scope, name))
    throw new Refusal(`${scope.path || 'The project'} has a ${name} already.`);
}

function holds(scope: Entity, name: string): boolean {
  return scope.values.has(name) || scope.members.has(name);
}
