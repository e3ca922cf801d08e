import type { Value } from '../../engine/values/value.js';
import { spanOf, type Item } from '../../model/declaration.js';
import { children, type Expression } from '../../model/expression.js';
import type { FeatureContext } from '../feature.js';
import { traced } from '../resolve.js';
import { action, freshName, selectedExpression, type Refactoring } from '../refactoring.js';
import { typeOfQuantity } from './type-name.js';

interface Input {
  readonly text: string;
  readonly type: string;
  readonly stem: string;
  readonly places: { start: number; end: number }[];
}

/** A selected calculation becomes a formula: what it reads becomes parameters with their dimensions. */
export const extractFormula: Refactoring = (context, start, end) => {
  const selected = selectedExpression(context, start, end);
  if (!selected) return [];
  const { entity, item, node } = selected;
  const values = traced(context.project, entity, item);
  const result = typeOfQuantity(values?.get(node.id));
  const inputs = values && result ? inputsOf(context, item, node, values) : null;
  if (!inputs || inputs.length === 0 || node.kind === 'name' || node.kind === 'member') return [];
  const names: string[] = [];
  for (const { stem } of inputs) names.push(freshIn(stem, names));
  let body = context.text.slice(selected.start, selected.end);
  const places = inputs
    .flatMap((input, i) => input.places.map(place => ({ ...place, name: names[i]! })))
    .sort((x, y) => y.start - x.start);
  for (const place of places)
    body = body.slice(0, place.start - selected.start) + place.name + body.slice(place.end - selected.start);
  const name = freshName(context, context.project.namespace.root, 'extracted', names);
  const formula = `formula ${name}(${inputs.map(({ type }, i) => `${names[i]}: ${type}`).join(', ')}): ${result} = ${body}\n`;
  const call = `${name}(${inputs.map(({ text }, i) => `${names[i]} = ${text}`).join(', ')})`;
  const { length } = context.text;
  return [
    action(context, `Extract formula ${name}`, 'refactor.extract', [
      { file: context.file, start: selected.start, end: selected.end, text: call },
      {
        file: context.file,
        start: length,
        end: length,
        text: `${context.text.endsWith('\n') ? '' : '\n'}\n${formula}`,
      },
    ]),
  ];
};

/** What the expression reads, the outermost that is a number or a vector's part; null where something else is read. */
function inputsOf(
  context: FeatureContext,
  item: Item,
  root: Expression,
  values: ReadonlyMap<number, Value>,
): Input[] | null {
  const inputs = new Map<string, Input>();
  const visit = (node: Expression): boolean => {
    const value = values.get(node.id);
    const reads =
      node.kind === 'name' ||
      node.kind === 'member' ||
      node.kind === 'label' ||
      node.kind === 'index' ||
      (node.kind === 'call' && isOwnCall(node, values));
    if (!reads) {
      if (node.kind === 'call')
        return node.arguments.every(
          argument => argument.binders.length === 0 && argument.form !== 'unknown' && visit(argument.value),
        );
      return children(node).every(visit);
    }
    const type = typeOfQuantity(value);
    if (!type) return node.kind === 'name' && value?.kind === 'builtin';
    const span = spanOf(item, node.id);
    const text = context.text.slice(span.start, span.end);
    const known = inputs.get(text);
    if (known) known.places.push(span);
    else inputs.set(text, { text, type, stem: stemOf(node), places: [span] });
    return true;
  };
  return visit(root) ? [...inputs.values()] : null;
}

/** A call of a table or of a formula that sees names of its own block. */
function isOwnCall(node: Expression & { kind: 'call' }, values: ReadonlyMap<number, Value>): boolean {
  const callee = values.get(node.callee.id);
  return !(callee?.kind === 'builtin' || (callee?.kind === 'formula' && callee.scope.kind === 'file'));
}

function stemOf(node: Expression): string {
  switch (node.kind) {
    case 'name':
      return node.name;
    case 'member':
      return node.name;
    case 'call':
      return stemOf(node.callee);
    case 'index':
      return stemOf(node.receiver);
    default:
      return 'x';
  }
}

/**
 * Builtin names may be hidden by a parameter only where the body does not call them; others are always free to take.
 */
function freshIn(stem: string, taken: readonly string[]): string {
  if (!taken.includes(stem)) return stem;
  for (let i = 2; ; i++) if (!taken.includes(`${stem}_${i}`)) return `${stem}_${i}`;
}
