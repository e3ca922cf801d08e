import type { CallHierarchyItem, Range } from 'vscode-languageserver-types';
import { LIBRARY, spanOf, type Item } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { feature, rangeOf, type FeatureContext, type PositionParams } from '../feature.js';
import { statusText } from '../status.js';
import { enclosing, spotAt, type Target } from '../resolve.js';
import { targetsIn, usesByFile, type Use } from '../uses.js';

interface ItemParams {
  readonly item: CallHierarchyItem;
}
interface Data {
  readonly entity: string;
  readonly library: boolean;
  /** Which check of the block it is, from 0; -1 where it is a value. */
  readonly check: number;
  readonly name: string;
}
interface Node {
  readonly entity: Entity;
  readonly item: Item;
}

/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;
const FUNCTION = 12;
const VARIABLE = 13;
const CHECK = 24;

/** What a value is read by, and what it reads: values, formulas and checks alike. */
export default [
  feature('textDocument/prepareCallHierarchy', { callHierarchyProvider: true }, (context, params: PositionParams) =>
    nodesAt(context, context.lines.offset(params.position)).map(node => itemOf(context, node)),
  ),
  feature('callHierarchy/incomingCalls', {}, async (context, { item }: ItemParams) => {
    const node = nodeOf(context, item.data as Data);
    if (!node || node.item.kind === 'check' || !('path' in node.item)) return [];
    const callers = new Map<Item, Use[]>();
    let count = 0;
    for (const uses of usesByFile(context.project, [{ kind: 'value', entity: node.entity, item: node.item }])) {
      for (const use of uses)
        if (use.item && use.item.kind !== 'text' && use.item.kind !== 'override')
          callers.set(use.item, [...(callers.get(use.item) ?? []), use]);
      if (++count % FILES_AT_ONCE === 0) await context.pause();
    }
    return [...callers].map(([caller, uses]) => ({
      from: itemOf(context, { entity: uses[0]!.entity, item: caller }),
      fromRanges: uses.map(use => rangeOf(context.linesOf(use.file), use.start, use.end)),
    }));
  }),
  feature('callHierarchy/outgoingCalls', {}, (context, { item }: ItemParams) => {
    const node = nodeOf(context, item.data as Data);
    if (!node) return [];
    const lines = context.linesOf(node.item.placement.file);
    return targetsIn(context.project, node.entity, node.item).flatMap(({ target, places }) => {
      const to = nodeOfTarget(target);
      return to && to.item !== node.item
        ? [{ to: itemOf(context, to), fromRanges: places.map(({ start, end }): Range => rangeOf(lines, start, end)) }]
        : [];
    });
  }),
];

/** A name leads to its value; elsewhere in a check, and on the name of a requirement, its checks are meant. */
function nodesAt(context: FeatureContext, offset: number): Node[] {
  const target = spotAt(context.project, context.file, offset)?.target;
  const node = target && nodeOfTarget(target);
  if (node) return [node];
  if (target?.kind === 'entity' && target.entity.kind === 'requirement')
    return target.entity.checks.map(item => ({ entity: target.entity, item }));
  const inner = enclosing(context.project, context.file, offset).at(-1);
  const check = inner?.declaration.checks.find(item => {
    const { start, end } = spanOf(item, item.id);
    return offset >= start && offset <= end;
  });
  return check && inner ? [{ entity: inner.entity, item: check }] : [];
}

function nodeOfTarget(target: Target): Node | null {
  return target.kind === 'value' ? { entity: target.entity, item: target.item } : null;
}

function nodeOf(context: FeatureContext, { entity: key, library, check, name }: Data): Node | null {
  const { namespace, library: formulas } = context.project;
  const entity = library ? formulas.root : namespace.entity(key);
  if (!entity) return null;
  const item =
    check >= 0
      ? entity.checks[check]
      : name === 'value' && entity.declaration.value
        ? entity.declaration.value
        : entity.values.get(name);
  return item ? { entity, item } : null;
}

function itemOf(context: FeatureContext, { entity, item }: Node): CallHierarchyItem {
  const { file } = item.placement;
  const lines = context.linesOf(file);
  const name = 'id' in item ? spanOf(item, item.kind === 'check' ? item.modeId : item.id) : spanOf(item, 0);
  const start = Math.min(name.start, spanOf(item, 'id' in item ? item.id : 0).start);
  let end = name.end;
  for (let i = 1; i < item.spans.length; i += 2) end = Math.max(end, item.placement.start + item.spans[i]!);
  const data: Data = {
    entity: entity.key,
    library: file.startsWith(LIBRARY),
    check: item.kind === 'check' ? entity.checks.indexOf(item) : -1,
    name: item.name,
  };
  const isCheck = item.kind === 'check';
  return {
    name: isCheck
      ? [entity.label, item.mode].filter(Boolean).join(' · ')
      : 'parameters' in item && item.parameters
        ? `${item.name}(${item.parameters.map(parameter => parameter.name).join(', ')})`
        : item.name,
    kind: (isCheck
      ? CHECK
      : 'parameters' in item && item.parameters
        ? FUNCTION
        : VARIABLE) as CallHierarchyItem['kind'],
    detail: (isCheck ? statusText(context.project, entity) : entity.path) ?? '',
    uri: context.uri(file),
    range: rangeOf(lines, start, end),
    selectionRange: rangeOf(lines, name.start, Math.min(name.end, end)),
    data,
  };
}
