import { expressionsOf } from '../../findings/text-search.js';
import { spanOf, type Item, type ValueItem } from '../../model/declaration.js';
import { NO_ANNOTATIONS, walk, type Call, type Expression } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { LIBRARY } from '../../project/project.js';
import type { FeatureContext, TextEditAt } from '../feature.js';
import { boundNames, spotAt } from '../resolve.js';
import { usesOf, type Use } from '../uses.js';
import { action, freeNames, isBracketed, removal, statementOf, type Refactoring } from '../refactoring.js';

/** Kinds of expression that stand for themselves wherever a name may stand. */
const WHOLE = new Set<Expression['kind']>(['name', 'member', 'call', 'index', 'label', 'text']);

/** Every use of a `let` is replaced by what it is, and the `let` goes: only where each name means the same there. */
export const inlineLet: Refactoring = (context, start, end) => {
  const target = start === end ? spotAt(context.project, context.file, start)?.target : undefined;
  if (target?.kind !== 'value' || target.item.kind !== 'let' || target.item.placement.file.startsWith(LIBRARY))
    return [];
  const { entity, item } = target;
  if (item.annotations !== NO_ANNOTATIONS || variesOrIsOpen(item.value) || isOverridden(context, entity, item))
    return [];
  const uses = usesOf(context.project, [target]);
  const edits: TextEditAt[] = [];
  for (const use of uses) {
    const edit = use.item && meansTheSame(entity, item, use) ? replacement(context, item, use, use.item) : null;
    if (!edit) return [];
    edits.push(edit);
  }
  const overlap = edits.some((x, i) =>
    edits.some((y, j) => i !== j && x.file === y.file && x.start < y.end && y.start < x.end),
  );
  if (uses.length === 0 || overlap) return [];
  const { file } = item.placement;
  const text = context.project.text(file)!;
  return [
    action(context, `Inline let ${item.name}`, 'refactor.inline', [
      ...edits,
      removal(file, text, statementOf(text, item)),
    ]),
  ];
};

/** A tolerance varies once however often its name is used; written out twice it would vary twice. */
function variesOrIsOpen(value: Expression): boolean {
  let found = false;
  walk(value, node => {
    if (node.kind === 'tolerance' || node.kind === 'tbd' || node.kind === 'missing') found = true;
  });
  return found;
}

function isOverridden(context: FeatureContext, entity: Entity, item: ValueItem): boolean {
  return (
    entity.kind === 'kind' &&
    context.project.namespace.ofKind('part').some(part => part.base === entity && part.values.get(item.name) !== item)
  );
}

/** Whether every name in the body is the same thing at the use: nothing nearer has one of them. */
function meansTheSame(owner: Entity, item: ValueItem, use: Use): boolean {
  const parameters = new Set(item.parameters?.map(({ name }) => name));
  const names = [...freeNames(item.value)].filter(name => !parameters.has(name));
  const bound = new Set(boundNames(use.item!).map(({ name }) => name));
  if (names.some(name => bound.has(name))) return false;
  for (let at: Entity | null = use.entity; at !== owner; at = at.parent) {
    if (!at || names.some(name => at!.values.has(name) || at!.members.has(name))) return false;
  }
  return true;
}

function replacement(context: FeatureContext, item: ValueItem, use: Use, user: Item): TextEditAt | null {
  let found: { node: Expression; call: Call | null } | null = null;
  let reached = false;
  for (const root of expressionsOf(user)) {
    walk(root, node => {
      const callee =
        node.kind === 'call' && node.callee.kind === 'name' && spanOf(user, node.callee.id).start === use.start
          ? node
          : null;
      if (callee) found = { node: callee, call: callee };
      else if (!found && node.kind === 'name' && spanOf(user, node.id).start === use.start)
        found = { node, call: null };
      // What is named in passing (`x.y`) is read of the value itself.
      if (
        node.kind === 'member' &&
        spanOf(user, node.receiver.id).start === use.start &&
        spanOf(user, node.receiver.id).end === use.end
      )
        reached = true;
    });
  }
  const { node, call } = found ?? ({ node: null, call: null } as { node: Expression | null; call: Call | null });
  if (!node || reached || (item.parameters === null) !== (call === null)) return null;
  const text = call ? withArguments(context, item, call, user) : wrapped(textOf(context, item, item.value), item.value);
  const { start, end } = spanOf(user, node.id);
  return text === null ? null : { file: use.file, start, end, text };
}

/** The body with what a call gives in the place of its parameters. */
function withArguments(context: FeatureContext, item: ValueItem, call: Call, user: Item): string | null {
  const given = new Map<string, string>();
  for (const [i, parameter] of item.parameters!.entries()) {
    const argument = call.arguments.find(candidate => candidate.name === parameter.name) ?? call.arguments[i];
    if (!argument || argument.form === 'each' || argument.form === 'unknown') return null;
    given.set(parameter.name, wrapped(textOf(context, user, argument.value), argument.value));
  }
  const body = spanOf(item, item.value.id);
  let text = textOf(context, item, item.value);
  const places: { start: number; end: number; name: string }[] = [];
  walk(item.value, node => {
    if (node.kind === 'name' && given.has(node.name)) places.push({ ...spanOf(item, node.id), name: node.name });
  });
  for (const { start, end, name } of places.sort((x, y) => y.start - x.start))
    text = text.slice(0, start - body.start) + given.get(name)! + text.slice(end - body.start);
  return wrapped(text, item.value);
}

function textOf(context: FeatureContext, item: Item, node: Expression): string {
  const { start, end } = spanOf(item, node.id);
  return (context.project.text(item.placement.file) ?? '').slice(start, end);
}

function wrapped(text: string, node: Expression): string {
  return WHOLE.has(node.kind) || (node.kind === 'number' && node.unitText === null) || isBracketed(text)
    ? text
    : `(${text})`;
}
