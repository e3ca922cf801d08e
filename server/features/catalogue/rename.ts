import { LIBRARY } from '../../project/project.js';
import { feature, Refusal, workspaceEdit, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt, usesOf, type Target } from '../resolve.js';

const NAME = /^[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;
const LABEL = /^[\p{L}][\p{L}\p{N}_]*(-[\p{L}\p{N}_]+)*(\.\d+)*$/u;

/** Renames a name or label at its declaration and at every place that names it. */
export default feature('textDocument/rename', { renameProvider: true }, (context, params: PositionParams & { readonly newName: string }) => {
  const target = renamable(context, params);
  const labelled = target.kind === 'entity' && !['material', 'load', 'environment', 'factors', 'growth', 'kind', 'frame'].includes(target.entity.kind);
  if (!(labelled ? LABEL : NAME).test(params.newName)) throw new Refusal(`'${params.newName}' is no ${labelled ? 'label' : 'name'}: letters, digits and _${labelled ? ' and -' : ''}, beginning with a letter.`);
  return workspaceEdit(context, [declarationSpan(target), ...usesOf(context.project, target)].map(place => ({ ...place, text: params.newName })));
});

function renamable(context: FeatureContext, params: PositionParams): Target {
  const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
  if (!target) throw new Refusal('There is no name here that could be changed.');
  if (declarationSpan(target).file.startsWith(LIBRARY)) throw new Refusal('A name of the formula library is not yours to change.');
  return target;
}
