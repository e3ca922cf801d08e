import { BLOCKS } from '../../model/blocks.js';
import type { Entity } from '../../model/namespace.js';
import { LIBRARY } from '../../project/project.js';
import { feature, rangeOf, Refusal, workspaceEdit, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt, usesByFile, type Spot, type Target, type Use } from '../resolve.js';

const NAME = /^[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;
const LABEL = /^[\p{L}][\p{L}\p{N}_]*(-[\p{L}\p{N}_]+)*(\.\d+)*$/u;
const NAMED = new Set(['material', 'load', 'environment', 'factors', 'growth', 'kind', 'frame']);
/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;

/** Renames a name or label at its declaration and at every place that names it. */
export default [
  feature('textDocument/rename', { renameProvider: { prepareProvider: true } }, async (context, params: PositionParams & { readonly newName: string }) => {
    const { target } = renamable(context, params);
    check(target, params.newName);
    const uses: Use[] = [];
    let count = 0;
    for (const found of usesByFile(context.project, target)) {
      uses.push(...found);
      if (++count % FILES_AT_ONCE === 0) await context.pause();
    }
    return workspaceEdit(context, [declarationSpan(target), ...uses].map(({ file, start, end }) => ({ file, start, end, text: params.newName })));
  }),
  feature('textDocument/prepareRename', {}, (context, params: PositionParams) => {
    const { spot, target } = renamable(context, params);
    const name = nameOf(target);
    const start = spot.end - name.length;
    return { range: rangeOf(context.lines, context.text.slice(start, spot.end) === name ? start : spot.start, spot.end), placeholder: name };
  }),
];

function renamable(context: FeatureContext, params: PositionParams): { readonly spot: Spot; readonly target: Target } {
  const spot = spotAt(context.project, context.file, context.lines.offset(params.position));
  const target = spot?.target;
  if (!target) throw new Refusal('There is no name here that could be changed.');
  if (declarationSpan(target).file.startsWith(LIBRARY)) throw new Refusal('A name of the formula library is not yours to change.');
  if (target.kind === 'value') {
    const { entity, item } = target;
    if (item.kind === 'field' && BLOCKS.get(entity.kind)?.fields[item.name]) throw new Refusal(`${item.name} is a field of every ${entity.kind}; its name is the language's.`);
    if (entity.base?.declaration.given.some(parameter => parameter.name === item.name)) throw new Refusal(`${entity.base.name} asks its parts for ${item.name}; the name is given there.`);
  }
  return { spot, target };
}

function nameOf(target: Target): string {
  return target.kind === 'entity' ? target.entity.name : target.kind === 'value' ? target.item.path.at(-1)! : target.name;
}

function check(target: Target, name: string): void {
  const labelled = target.kind === 'entity' && !NAMED.has(target.entity.kind);
  if (!(labelled ? LABEL : NAME).test(name)) throw new Refusal(`'${name}' is no ${labelled ? 'label' : 'name'}: letters, digits and _${labelled ? ' and -' : ''}, beginning with a letter.`);
  const scope = target.kind === 'entity' ? target.entity.parent : target.kind === 'value' ? target.entity : null;
  if (scope && name !== nameOf(target) && holds(scope, name)) throw new Refusal(`${scope.path || 'The project'} has a ${name} already.`);
}

function holds(scope: Entity, name: string): boolean {
  return scope.values.has(name) || scope.members.has(name);
}
