/** What rules look for in the text of declarations. */
import type { Declaration, Item, ValueItem } from '../model/declaration.js';
import { NO_ANNOTATIONS, walk, type Annotations, type Expression } from '../model/expression.js';
import type { Namespace } from '../model/namespace.js';
import { saidIn } from '../model/statements.js';

/** A text with its placeholders left out. */
export function plainWords(segments: readonly (string | object)[]): string {
  return segments.map(segment => (typeof segment === 'string' ? segment : '#')).join('');
}

/** Every expression of an item: its value, bounds, defaults, conditions. */
export function expressionsOf(item: Item): Expression[] {
  switch (item.kind) {
    case 'text':
      return item.segments.flatMap(segment => (typeof segment === 'string' ? [] : [segment.value]));
    case 'check':
      return [
        item.condition,
        ...item.binders.flatMap(binder => (binder.step ? [binder.domain, binder.step] : [binder.domain])),
        ...ofAnnotations(item.annotations),
      ];
    case 'holds':
    case 'accepts':
    case 'least':
      return [item.condition];
    case 'restriction':
      return [item.domain];
    default:
      return [
        item.value,
        ...item.conditions,
        ...(item.parameters ?? []).flatMap(parameter => (parameter.default ? [parameter.default] : [])),
        ...ofAnnotations(item.annotations),
      ];
  }
}

function ofAnnotations(annotations: Annotations): Expression[] {
  if (annotations === NO_ANNOTATIONS) return [];
  return [annotations.within, annotations.step, annotations.use, annotations.positions, annotations.thin].filter(
    expression => expression !== undefined,
  );
}

export function itemsOf(declaration: Declaration): Item[] {
  const rationale = saidIn(declaration, 'rationale');
  return [
    ...declaration.values,
    ...declaration.checks,
    ...declaration.conditions,
    ...declaration.restrictions,
    ...(declaration.value ? [declaration.value] : []),
    ...(declaration.title ? [declaration.title] : []),
    ...(rationale ? [rationale] : []),
  ];
}

/** Calls `visit` for everything that the expressions of a declaration are made of, with the item it stands in. */
export function walkDeclaration(declaration: Declaration, visit: (node: Expression, item: Item) => void): void {
  for (const item of itemsOf(declaration))
    for (const expression of expressionsOf(item)) walk(expression, node => visit(node, item));
}

/** Every declaration as it is written, once: what stands in a kind is not repeated for its instances. */
export function* declarationsOf(namespace: Namespace): Iterable<Declaration> {
  yield* namespace.rootDeclarations;
  for (const entity of namespace.entities.values()) if (!entity.template) yield* entity.contenders;
}

/** Values written in an item of which something is said: the item's own, and those of the entries of its record. */
export function annotatedValues(
  item: ValueItem,
): { readonly name: string; readonly value: Expression; readonly annotations: Annotations }[] {
  if (item.annotations === NO_ANNOTATIONS && item.value.kind !== 'record') return [];
  const found: { name: string; value: Expression; annotations: Annotations }[] = [];
  const visit = (name: string, value: Expression, annotations: Annotations): void => {
    found.push({ name, value, annotations });
    if (value.kind === 'record')
      for (const entry of value.entries)
        visit(`${name}.${entry.name}`, entry.value, {
          ...(annotations.source ? { source: annotations.source } : {}),
          ...entry.annotations,
        });
  };
  visit(item.name, item.value, item.annotations);
  return found;
}

/** Whether a value is written down rather than calculated from something. */
export function isTypedIn(value: Expression): boolean {
  let typed = true;
  walk(value, node => {
    if (node.kind === 'name' || node.kind === 'member' || node.kind === 'call' || node.kind === 'label') typed = false;
  });
  return typed;
}

export function callsName(expression: Expression, name: string): boolean {
  let found = false;
  walk(expression, node => {
    if (node.kind === 'call' && node.callee.kind === 'name' && node.callee.name === name) found = true;
  });
  return found;
}
