import { isCalculated } from '../../language/index.js';
import { spanOf, type ValueItem } from '../../model/declaration.js';
import { factsOf } from '../../engine/facts.js';
import { isTemplate } from '../../engine/verification-index.js';
import type { Value } from '../../engine/values/value.js';
import { isTypedIn, itemsOf } from '../../findings/text-search.js';
import type { Entity } from '../../model/namespace.js';
import { targetOf } from '../../project/trial.js';
import {
  applyTrialMessage,
  choicesMessage,
  sheetMessage,
  sheetRowsMessage,
  triableMessage,
  trialMessage,
  workedMessage,
  zeroMarginMessage,
  type Triable,
  type Worked,
} from '../../protocol/sheet.js';
import type { Project } from '../../project/project.js';
import { withDegrees } from '../../units/index.js';
import {
  feature,
  Refusal,
  workspaceEdit,
  type Feature,
  type FeatureContext,
  type PositionParams,
  type TextEditAt,
} from '../feature.js';
import { inBlock } from '../refactoring.js';
import { checkOfRow, rowsById, sheetOf } from '../margin-sheet.js';
import { trialName, trialState } from '../trial-state.js';
import { zeroMargin } from '../zero-margin.js';
import { enclosing, spotAt } from '../resolve.js';
import { choicesFor } from '../trial-choices.js';
import { workedCheck } from '../worked.js';
import { checkKey } from '../../engine/evaluation/cell-key.js';

/** The margin sheet, and values that are tried beside the texts. */
const features: readonly Feature[] = [
  feature(sheetMessage.method, {}, (context, params: { readonly known: number | null }) =>
    sheetOf(context, params.known),
  ),
  feature(sheetRowsMessage.method, {}, (context, params: { readonly ids: readonly string[] }) =>
    rowsById(context, params.ids),
  ),
  feature(
    trialMessage.method,
    {},
    (context, params: { readonly values: readonly { readonly name: string; readonly text: string }[] }) => {
      context.project.tryValues(params.values);
      return trialState(context);
    },
  ),
  feature(applyTrialMessage.method, {}, context => {
    const { trial } = context.project;
    if (!trial) return { changes: {} };
    if (trial.problems.length > 0) throw new Refusal(trial.problems[0]!.message);
    return workspaceEdit(
      context,
      trial.values.map(({ name, full }) => written(context.project, name, full.trim())),
    );
  }),
  feature(triableMessage.method, {}, (context, { position }: PositionParams) =>
    triableAt(context, context.lines.offset(position)),
  ),
  feature(choicesMessage.method, {}, ({ project }, { name }: { readonly name: string }) => {
    const target = targetOf(project.namespace, name);
    return target ? choicesFor(project, target.entity, target.entity.values.get(target.field)!) : [];
  }),
  feature(zeroMarginMessage.method, {}, (context, { name, row }: { readonly name: string; readonly row: string }) =>
    zeroMargin(context, name, row),
  ),
  feature(workedMessage.method, {}, (context, { row }: { readonly row: string }) => workedRow(context, row)),
];
export default features;

function workedRow(context: FeatureContext, row: string): Worked | null {
  const found = checkOfRow(context.project, row);
  const worked = found && workedCheck(context.project, found.view, found.check);
  return (
    worked && {
      sides: worked.sides.map(({ side, formula, steps }) => ({ side, steps: [...new Set([formula, ...steps])] })),
      inputs: worked.inputs.map(({ name, text, stated, source, place }) => ({
        name,
        value: withDegrees(text),
        stated,
        source,
        location: place && {
          uri: context.uri(place.file),
          ...context.linesOf(place.file).position(place.start),
        },
      })),
    }
  );
}

/** A tried value as text: where its value stands, or in the part itself where that has it from its kind. */
function written(project: Project, name: string, text: string): TextEditAt {
  const { entity, field } = targetOf(project.namespace, name)!;
  const item = entity.values.get(field)!;
  const { declaration } = entity;
  if (entity.template)
    throw new Refusal(
      `${name} stands in a kind and is the same for all of its parts. Try it there, or give it to the kind as a value of each part.`,
    );
  if (!entity.base || declaration.values.includes(item))
    return { file: item.placement.file, ...spanOf(item, item.value.id), text };
  const { file } = declaration.placement;
  const { start, end } = spanOf(declaration, 0);
  return inBlock(file, project.text(file) ?? '', start, end, `${item.kind === 'let' ? 'let ' : ''}${field} = ${text}`);
}

function triableAt(context: FeatureContext, offset: number): Triable[] {
  const found = valueAt(context, offset);
  const triable = found && triableOf(context, found.entity, found.item, true);
  if (triable) return [triable];
  const requirement = enclosing(context.project, context.file, offset).findLast(
    ({ entity }) => entity.kind === 'requirement',
  )?.entity;
  return requirement && !isTemplate(requirement) ? foundationsOf(context, requirement) : [];
}

/** The value whose name, or whose line, the cursor is in; else the one it names. */
function valueAt(
  { project, file }: FeatureContext,
  offset: number,
): { readonly entity: Entity; readonly item: ValueItem } | null {
  const target = spotAt(project, file, offset)?.target;
  const around = enclosing(project, file, offset).at(-1);
  const declaration = around?.declaration;
  const entity = around?.entity ?? project.namespace.topOf(file);
  const here = (declaration ? itemsOf(declaration) : [...entity.values.values()]).find(
    (item): item is ValueItem =>
      'path' in item &&
      item.placement.file === file &&
      spanOf(item, item.id).start <= offset &&
      offset <= spanOf(item, item.value.id).end,
  );
  return here ? { entity, item: here } : target?.kind === 'value' ? target : null;
}

function triableOf(context: FeatureContext, entity: Entity, item: ValueItem, own: boolean): Triable | null {
  const { project } = context;
  const name = trialName(project, entity, item);
  if (!name) return null;
  const span = spanOf(item, item.value.id);
  return { name, written: (project.text(item.placement.file) ?? '').slice(span.start, span.end), own };
}

/** Values that a trial can stand in for: those that are numbers, and those that say what is read. */
const NUMBERS = new Set<Value['kind']>(['quantity', 'range', 'any-direction', 'vector']);
const CHOSEN = new Set<Value['kind']>(['text', 'entity']);

/** What the checks of a requirement rest on in the end: values that are written and not calculated. */
function foundationsOf(context: FeatureContext, requirement: Entity): Triable[] {
  const { evaluation } = context.project.view;
  const checks = requirement.checks
    .map((_, i) => evaluation.cell(requirement, checkKey(i)))
    .filter(cell => cell !== undefined);
  // The corners of a load read all of it; of its numbers those count that a comparison comes to.
  const counting = new Set<object>(checks.flatMap(cell => factsOf(evaluation, cell).values.map(({ item }) => item)));
  const reached = new Set(checks);
  for (const cell of reached) for (const read of cell.reads) reached.add(read);
  const own = (entity: Entity): boolean => entity === requirement || entity === requirement.part;
  return [...reached]
    .flatMap(({ entity, item, value }) => {
      const isValue =
        item &&
        'path' in item &&
        !item.parameters &&
        (item.kind === 'field' || item.kind === 'let' || item.kind === 'slot') &&
        isCalculated(entity.kind, item.name);
      if (!isValue || !(value.kind === 'entity' || isTypedIn(item.value))) return [];
      return CHOSEN.has(value.kind) || (NUMBERS.has(value.kind) && counting.has(item)) ? [{ entity, item }] : [];
    })
    .sort(
      (x, y) =>
        Number(own(y.entity)) - Number(own(x.entity)) ||
        byName(x.item.placement.file, y.item.placement.file) ||
        spanOf(x.item, x.item.id).start - spanOf(y.item, y.item.id).start,
    )
    .map(({ entity, item }) => triableOf(context, entity, item, own(entity)))
    .filter(triable => triable !== null);
}

function byName(x: string, y: string): number {
  return x < y ? -1 : x > y ? 1 : 0;
}
