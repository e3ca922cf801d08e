import { boundNames, traced } from '../resolve.js';
import {
  action,
  before,
  freeNames,
  freshName,
  selectedExpression,
  statementOf,
  type Refactoring,
} from '../refactoring.js';

/**
 * Kinds of value that a name can stand for without anything being read otherwise. A comparison must stay where its
 * sides are seen.
 */
const NAMEABLE = new Set(['quantity', 'vector', 'range', 'list', 'record', 'table']);

/** Blocks in which a further value means nothing by itself. A load is read with every value that it has. */
const BLOCKS_WITH_ROOM = new Set(['file', 'part', 'kind', 'requirement', 'material']);

/** A selected expression becomes a `let` above its statement; names that the statement binds become parameters. */
export const extractLet: Refactoring = (context, start, end) => {
  const selected = selectedExpression(context, start, end);
  if (!selected) return [];
  const { entity, item, node } = selected;
  if (item.kind === 'text' || item.kind === 'override' || node.kind === 'name' || !BLOCKS_WITH_ROOM.has(entity.kind))
    return [];
  const value = traced(context.project, entity, item)?.get(node.id);
  if (!value || !NAMEABLE.has(value.kind)) return [];
  const bound = new Set(boundNames(item).map(({ name }) => name));
  const parameters = [...freeNames(node)].filter(name => bound.has(name));
  const name = freshName(context, entity, 'extracted');
  const call = parameters.length > 0 ? `${name}(${parameters.join(', ')})` : name;
  const statement = statementOf(context.text, item);
  return [
    action(context, `Extract let ${call}`, 'refactor.extract', [
      before(context, statement.start, `let ${call} = ${context.text.slice(selected.start, selected.end)}`),
      { file: context.file, start: selected.start, end: selected.end, text: call },
    ]),
  ];
};
