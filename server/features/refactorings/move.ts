import { BLOCKS } from '../../language/index.js';
import { spanOf } from '../../model/declaration.js';
import { expressionsOf, itemsOf } from '../../findings/text-search.js';
import { NO_ANNOTATIONS } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { folderOf } from '../../project/paths.js';
import { citedPaths } from '../cited-paths.js';
import type { FeatureContext } from '../feature.js';
import { boundNames, enclosing, spotAt } from '../resolve.js';
import { action, freeNames, removal, statementOf, type Refactoring, type Span } from '../refactoring.js';
import { saidIn } from '../../model/statements.js';

/**
 * A statement at the top of a file, whose name the caret is on, goes to the end of another open file of the project.
 */
export const moveToFile: Refactoring = (context, start) => {
  const target = spotAt(context.project, context.file, start)?.target;
  const item =
    target?.kind === 'value' && target.entity.kind === 'file' && target.item.placement.file === context.file
      ? target.item
      : null;
  const declaration =
    target?.kind === 'entity' &&
    !target.entity.key.includes('.') &&
    target.entity.declaration.placement.file === context.file
      ? target.entity.declaration
      : null;
  const span = item ? statementOf(context.text, item) : declaration && spanOf(declaration, 0);
  const name = item?.name ?? declaration?.name;
  const onName = item ? spanOf(item, item.id) : declaration && spanOf(declaration, 2);
  // What is said behind a value (`basis A`) has no place of its own, so that its end is not known.
  if (
    !span ||
    !name ||
    !onName ||
    start < onName.start ||
    start > onName.end ||
    (item && item.annotations !== NO_ANNOTATIONS)
  )
    return [];
  const taken = removal(context.file, context.text, span);
  const moved = context.text.slice(taken.start, taken.end).trimEnd();
  const files = context.openFiles.filter(
    file =>
      file !== context.file &&
      context.project.files.includes(file) &&
      (folderOf(file) === folderOf(context.file) || citedPaths(moved).length === 0),
  );
  return files.map(file => {
    const text = context.project.text(file) ?? '';
    return action(context, `Move ${name} to ${file}`, 'refactor.move', [
      taken,
      {
        file,
        start: text.length,
        end: text.length,
        text: `${text === '' || text.endsWith('\n') ? '' : '\n'}\n${moved}\n`,
      },
    ]);
  });
};

/**
 * A `let` goes out to the block around its own: only where no name in it, and none out there, would mean something
 * else.
 */
export const moveOut: Refactoring = (context, start) => {
  const target = spotAt(context.project, context.file, start)?.target;
  if (
    target?.kind !== 'value' ||
    target.item.kind !== 'let' ||
    target.item.annotations !== NO_ANNOTATIONS ||
    target.entity.kind === 'file' ||
    target.item.placement.file !== context.file
  )
    return [];
  const { entity, item } = target;
  const outer = entity.parent;
  const name = spanOf(item, item.id);
  const inner = enclosing(context.project, context.file, start).at(-1);
  if (!outer || inner?.entity !== entity || start < name.start || start > name.end) return [];
  // `part X in Bus` stands in Bus and is not written there.
  const lexical =
    outer.kind === 'file' ||
    (outer.declaration.placement.file === context.file && encloses(spanOf(outer.declaration, 0), name));
  if (
    !lexical ||
    !BLOCKS.get(outer.kind)?.statements.includes('let') ||
    !canMove(context, entity, outer, item.name, localNames(item))
  )
    return [];
  const statement = statementOf(context.text, item);
  const taken = removal(context.file, context.text, statement);
  const block = spanOf(entity.declaration, 0);
  const lineStart = context.text.lastIndexOf('\n', block.start - 1) + 1;
  const indent = context.text.slice(lineStart, block.start);
  if (indent.trim() !== '') return [];
  const text = context.text
    .slice(taken.start, taken.end)
    .trimEnd()
    .split('\n')
    .map(line => indent + line.trimStart())
    .join('\n');
  return [
    action(context, `Move ${item.name} out to ${outer.kind === 'file' ? 'the file' : outer.path}`, 'refactor.move', [
      taken,
      { file: context.file, start: lineStart, end: lineStart, text: `${text}\n` },
    ]),
  ];
};

const encloses = (outer: Span, inner: Span): boolean => outer.start < inner.start && inner.end < outer.end;

function localNames(item: Parameters<typeof boundNames>[0]): Set<string> {
  const bound = new Set(boundNames(item).map(({ name }) => name));
  return new Set(
    expressionsOf(item)
      .flatMap(root => [...freeNames(root)])
      .filter(name => !bound.has(name)),
  );
}

function canMove(
  context: FeatureContext,
  entity: Entity,
  outer: Entity,
  name: string,
  reads: ReadonlySet<string>,
): boolean {
  const local = (at: Entity, candidate: string): boolean =>
    at.values.has(candidate) ||
    at.members.has(candidate) ||
    saidIn(at.declaration, 'given').some(parameter => parameter.name === candidate);
  if (entity.kind === 'kind' || outer.kind === 'kind' || entity.base || entity.template) return false;
  if ([...reads].some(read => read !== name && local(entity, read)) || reads.has('name') || reads.has('title'))
    return false;
  const { namespace, library } = context.project;
  if (library.root.values.has(name) || namespace.named(name).size > 0) return false;
  for (let at: Entity | null = outer; at; at = at.parent) if (local(at, name)) return false;
  return !usedElsewhere(
    outer.kind === 'file' ? [...namespace.entities.values()] : [outer, ...below(outer)],
    entity,
    name,
  );
}

function below(entity: Entity): Entity[] {
  return [...entity.members.values()].flatMap(member => [member, ...below(member)]);
}

/** Whether another block out there says the name and means its own. */
function usedElsewhere(entities: readonly Entity[], own: Entity, name: string): boolean {
  const inside = new Set([own, ...below(own)]);
  return entities.some(
    entity =>
      !inside.has(entity) &&
      itemsOf(entity.declaration).some(item => expressionsOf(item).some(root => freeNames(root).has(name))),
  );
}
