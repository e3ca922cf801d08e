import type { InlayHint, Range } from 'vscode-languageserver-types';
import { printValue } from '../../engine/explain.js';
import type { Value } from '../../engine/values/value.js';
import { isTemplate } from '../../engine/verification-index.js';
import { spanOf, type Declaration, type ValueItem } from '../../model/declaration.js';
import type { Expression } from '../../model/expression.js';
import { keyOf, type Entity } from '../../model/namespace.js';
import { feature, type FeatureContext } from '../feature.js';
import { marginText, worstResult } from '../status.js';
import { valueKey } from '../../engine/evaluation/cell-key.js';

interface Hint {
  readonly offset: number;
  readonly label: string;
  readonly tooltip: string;
}

/**
 * The margin behind each check, with the case that governs; the value behind what is calculated. So many on a line as
 * the editor asks for, margins first.
 */
export default feature(
  'textDocument/inlayHint',
  { inlayHintProvider: true },
  (context, params: { readonly range: Range }) => {
    const [from, to] = [context.lines.offset(params.range.start), context.lines.offset(params.range.end)];
    const margins: Hint[] = [];
    const values: Hint[] = [];
    const visit = (declaration: Declaration, entity: Entity): void => {
      if (declaration.kind !== 'file' && (isTemplate(entity) || entity.declaration !== declaration)) return;
      margins.push(...marginHints(context, entity, from, to));
      for (const item of declaration.values) values.push(...valueHint(context, entity, item, from, to));
      for (const child of declaration.children) {
        const span = spanOf(child, 0);
        const inner =
          span.end < from || span.start > to
            ? undefined
            : context.project.namespace.entities.get(
                entity.key === '' ? keyOf(child) : `${entity.key}.${keyOf(child)}`,
              );
        if (inner) visit(child, inner);
      }
    };
    for (const piece of context.project.namespace.piecesOf(context.file))
      visit(piece.root, context.project.namespace.topOf(context.file));
    return fewest(context, [...margins, ...values]);
  },
);

function fewest(context: FeatureContext, hints: readonly Hint[]): InlayHint[] {
  const onLine = new Map<number, number>();
  const kept: InlayHint[] = [];
  for (const { offset, label, tooltip } of hints) {
    const position = context.lines.position(offset);
    const count = onLine.get(position.line) ?? 0;
    if (count >= context.settings.hintsPerLine) continue;
    onLine.set(position.line, count + 1);
    kept.push({ position, label, paddingLeft: true, tooltip });
  }
  return kept.sort((x, y) => x.position.line - y.position.line || x.position.character - y.position.character);
}

function marginHints(context: FeatureContext, entity: Entity, from: number, to: number): Hint[] {
  if (entity.kind !== 'requirement') return [];
  const ends = entity.checks.map(check => spanOf(check, check.condition.id).end);
  const worst = ends.some(end => end >= from && end <= to) ? worstResult(context.project, entity) : null;
  if (!worst) return [];
  return ends.flatMap((offset, i) => {
    const check = worst.result.checks[i];
    const label = offset >= from && offset <= to && check ? marginText(worst.view.evaluation, check) : null;
    return label === null
      ? []
      : [
          {
            offset,
            label,
            tooltip: check!.passes === true ? 'Passes' : check!.passes === false ? 'Fails' : 'Undetermined',
          },
        ];
  });
}

function valueHint(context: FeatureContext, entity: Entity, item: ValueItem, from: number, to: number): Hint[] {
  const offset = spanOf(item, item.value.id).end;
  if (
    offset < from ||
    offset > to ||
    item.parameters ||
    item.kind === 'override' ||
    item.kind === 'unit' ||
    isPlain(item.value)
  )
    return [];
  const cell = context.project.view.evaluation.cell(entity, valueKey(item.name));
  const text = cell && cell.item === item ? hintText(context, cell.value) : null;
  return text === null ? [] : [{ offset, label: `= ${text}`, tooltip: `${cell!.path} as calculated` }];
}

function hintText(context: FeatureContext, value: Value): string | null {
  const { evaluation } = context.project.view;
  switch (value.kind) {
    case 'quantity':
    case 'truth': {
      const number = evaluation.number(value.node);
      return number === number ? printValue(node => evaluation.number(node), value) : 'undetermined';
    }
    case 'vector':
    case 'range':
    case 'any-direction':
      return printValue(node => evaluation.number(node), value);
    case 'poison':
      return 'undetermined';
    default:
      return null;
  }
}

/** Written down as it is: to print it again would say nothing. */
function isPlain(value: Expression): boolean {
  switch (value.kind) {
    case 'number':
    case 'text':
    case 'date':
    case 'truth':
    case 'tbd':
    case 'missing':
    case 'table':
    case 'record':
      return true;
    case 'unary':
      return isPlain(value.operand);
    case 'tolerance':
      return isPlain(value.nominal);
    case 'list':
    case 'group':
      return value.items.every(isPlain);
    case 'binary':
      return value.operator === '..' && isPlain(value.left) && isPlain(value.right);
    default:
      return false;
  }
}
