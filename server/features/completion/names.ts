/** What an expression may begin with: names that are bound, seen or likely here, and the arguments of a call. */
import { BUILTINS } from '../../engine/elaboration/builtins.js';
import type { Value } from '../../engine/values/value.js';
import type { ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { tokenize } from '../../syntax/parser.js';
import { Reader } from '../../syntax/tolerant/reader.js';
import type { Open } from '../../syntax/tolerant/tree.js';
import { callAt, nameOf } from '../bindings.js';
import { around } from '../caret.js';
import type { Expected } from '../due.js';
import { dimensionOf } from '../evaluate.js';
import { visibleNames } from '../scope.js';
import { typeText } from '../signature.js';
import { fit, KIND, matches, rank, type Offers } from './offers.js';
import { printed, visible } from './visible.js';

/** What compares the word that is typed: it is no failure mode. */
const COMPARED = /^[ \t]*(?:<=|>=|≤|≥|<|>)/u;

/** `path` ends with the name that is due. */
export function names(offers: Offers, path: readonly Open[]): void {
  const { sight, context, caret } = offers;
  const expected = offers.due(path);
  const sort = mayBeMode(path) && !COMPARED.test(sight.after) ? '4' : '';
  leading(offers, path, expected);
  const own = ownName(path);
  if (own !== '') offers.taken.add(own);
  for (let at = sight.env; at; at = at.parent)
    offers.add(at.name, KIND.variable, `${sort}${fit(dimensionOf(at.value), expected)}0`, {
      detail: printed(offers, at.value) ?? 'bound here',
    });
  for (const name of visibleNames(context.project, sight.entity, candidate => matches(candidate, caret.word)))
    visible(offers, name, expected, sort);
  localNames(offers, sort, expected);
}

/** Directly behind `check` a failure mode is likelier than a name. */
function mayBeMode(path: readonly Open[]): boolean {
  const [check, value, inner] = path.slice(-3);
  return (
    check?.node.type === 'Check' && value?.node.read === null && check.node.parts.length === 1 && inner !== undefined
  );
}

/** A value can't be made of itself. */
function ownName(path: readonly Open[]): string {
  const statement = path.findLast(({ role }) => role === 'Block.statements' || role === 'Document.statements');
  switch (statement?.node.type) {
    case 'Let':
    case 'Formula':
      return nameOf(statement.node);
    case 'Field': {
      const segments = statement.node.node('path')?.nodes('segments') ?? [];
      return segments.length === 1 ? nameOf(statement.node, 'path') : '';
    }
    default:
      return '';
  }
}

/** What a sweep runs over first: loads, cases and lists of them; for temperatures, `knots`. */
function leading(offers: Offers, path: readonly Open[], expected: Expected | null): void {
  const over = runsOver(path);
  if (over === null) return;
  const { sight, context, caret } = offers;
  for (const name of visibleNames(context.project, sight.entity, candidate => matches(candidate, caret.word))) {
    if (name.kind === 'builtin' && name.name === over.builtin) visible(offers, name, expected, '!0');
    const isLikely =
      name.kind === 'entity'
        ? over.blocks.includes(name.entity.kind)
        : name.kind === 'value' && over.blocks.includes('load') && isListOfLoads(offers, name.entity, name.item);
    if (isLikely) visible(offers, name, expected, '!5');
  }
}

interface Likely {
  readonly builtin: string;
  readonly blocks: readonly string[];
}

const CORNERS: Likely = { builtin: 'corners', blocks: ['load', 'case'] };
const KNOTS: Likely = { builtin: 'knots', blocks: ['environment'] };

/** What is likely behind `for x in` and in `corners(` and `knots(`; null elsewhere. */
function runsOver(path: readonly Open[]): Likely | null {
  const inner = path.at(-1);
  if (inner?.role === 'Binder.domain') {
    const name = nameOf(path.at(-2)!.node);
    return name.startsWith('T') ? KNOTS : CORNERS;
  }
  const call = around(path, 'Call');
  if (inner?.role !== 'Argument.value' || !call || call.nodes('arguments').length > 0) return null;
  const found = [CORNERS, KNOTS].find(({ builtin }) => builtin === nameOf(call, 'callee'));
  return found ? { ...found, builtin: '' } : null;
}

function isListOfLoads({ context }: Offers, entity: Entity, { parameters, name }: ValueItem): boolean {
  const value = parameters ? undefined : context.project.view.evaluation.valueOf(entity, name);
  const isLoad = (each: Value): boolean =>
    each.kind === 'load' || (each.kind === 'entity' && (each.entity.kind === 'load' || each.entity.kind === 'case'));
  return value?.kind === 'list' && value.items.length > 0 && value.items.every(isLoad);
}

/** `M = ` for what a call still lacks. */
export function argumentNames(offers: Offers, path: readonly Open[]): void {
  const call = callAt(offers.sight, offers.sight.env, path);
  if (call?.value?.kind !== 'formula') return;
  const given = new Set(call.node.nodes('arguments').flatMap(each => (each.token('separator') ? [nameOf(each)] : [])));
  call.value.item.parameters!.forEach(({ name, type }, i) => {
    if (given.has(name) || (given.size === 0 && i < call.argument)) return;
    offers.add(`${name} =`, KIND.property, `0 ${rank(i)}`, {
      insert: `${name} = `,
      filterText: name,
      detail: typeText(type) ?? 'value',
    });
  });
}

/** Whether the call around may run over something: `sum(for …)`. */
export function isFold(path: readonly Open[]): boolean {
  const callee = around(path, 'Call')?.node('callee');
  return callee?.type === 'NameReference' && BUILTINS.get(nameOf(callee))?.signature.includes('for ') === true;
}

const LONGEST_LOOK = 4_000;

/** Names that stand in the text of the blocks around, and that a broken tree may have lost. */
function localNames(offers: Offers, sort: string, expected: Expected | null): void {
  const { scene, caret, entity } = offers.sight;
  for (const { node } of caret.path) {
    if (node.type !== 'Block') continue;
    const text = offers.context.text.slice(caret.base + node.start);
    for (const [name, value] of namesIn(text.slice(0, LONGEST_LOOK))) {
      const found = offers.taken.has(name) ? null : dimensionOf(scene.value(value, entity, null));
      offers.add(name, KIND.variable, `${sort}${fit(found, expected)}1`);
    }
  }
}

/** Values that a block declares, each with its text. The braces of the block itself are left out. */
function namesIn(block: string): readonly (readonly [name: string, value: string])[] {
  const { tokens } = tokenize(block.slice(1));
  let depth = 0;
  const end = tokens.findIndex(({ image }) => (depth += image === '{' ? 1 : image === '}' ? -1 : 0) < 0);
  const tree = new Reader(end < 0 ? tokens : tokens.slice(0, end), { outline: true }).tree();
  return tree.nodes('statements').flatMap(statement => {
    const value = statement.node('value');
    const isNamed = statement.type === 'Field' || statement.type === 'Let';
    const name = nameOf(statement, statement.type === 'Field' ? 'path' : 'name');
    return isNamed ? [[name, value ? block.slice(1 + value.start, 1 + value.end) : ''] as const] : [];
  });
}
