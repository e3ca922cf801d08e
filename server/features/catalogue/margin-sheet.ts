import { spanOf, type ValueItem } from '../../model/declaration.js';
import { itemsOf } from '../../findings/text-search.js';
import { applyTrialMessage, sheetMessage, triableMessage, trialMessage, type Triable } from '../../protocol/sheet.js';
import { feature, Refusal, workspaceEdit, type Feature, type FeatureContext, type PositionParams } from '../feature.js';
import { itemNamed, sheetOf, trialName, trialState } from '../margin-sheet.js';
import { enclosing, spotAt } from '../resolve.js';

/** Most materials offered for one. */
const MOST_CHOICES = 40;

/** The margin sheet, and values that are tried beside the texts. */
const features: readonly Feature[] = [
  feature(sheetMessage.method, {}, (context, params: { readonly known: number | null }) => sheetOf(context, params.known)),
  feature(trialMessage.method, {}, (context, params: { readonly values: readonly { readonly name: string; readonly text: string }[] }) => {
    context.project.tryValues(params.values);
    return trialState(context);
  }),
  feature(applyTrialMessage.method, {}, context => {
    const { trial } = context.project;
    if (!trial) return { changes: {} };
    if (trial.problems.length > 0) throw new Refusal(trial.problems[0]!.message);
    return workspaceEdit(context, trial.values.map(({ name, text }) => {
      const item = itemNamed(context.project, name)!;
      return { file: item.placement.file, ...spanOf(item, item.value.id), text: text.trim() };
    }));
  }),
  feature(triableMessage.method, {}, (context, { position }: PositionParams) => triableAt(context, context.lines.offset(position))),
];
export default features;

/** The value whose name, or whose line, the cursor is in; else the one it names. */
function triableAt(context: FeatureContext, offset: number): Triable | null {
  const { project } = context;
  const target = spotAt(project, context.file, offset)?.target;
  const around = enclosing(project, context.file, offset).at(-1);
  const declaration = around?.declaration;
  const entity = around?.entity ?? project.namespace.root;
  const here = (declaration ? itemsOf(declaration) : [...entity.values.values()]).find((item): item is ValueItem => 'path' in item && item.placement.file === context.file && spanOf(item, item.id).start <= offset && offset <= spanOf(item, item.value.id).end);
  const found = here ? { entity, item: here } : target?.kind === 'value' ? target : null;
  const name = found && trialName(project, found.entity, found.item);
  if (!found || !name) return null;
  const { file } = found.item.placement;
  const span = spanOf(found.item, found.item.value.id);
  const value = project.view.evaluation.valueOf(found.entity, found.item.name);
  const choices = value?.kind === 'entity' ? project.namespace.ofKind(value.entity.kind).map(other => other.path).slice(0, MOST_CHOICES) : [];
  return { name, written: (project.text(file) ?? '').slice(span.start, span.end), choices };
}
