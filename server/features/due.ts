/** The dimension of what is due at the caret, by what stands round it. */
import { declared } from '../model/statements.js';
import type { Environment } from '../engine/elaboration/elaboration.js';
import { BLOCKS } from '../language/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import type { Role } from '../syntax/tolerant/rules.js';
import { operatorsBefore, type Open, type Tree } from '../syntax/tolerant/tree.js';
import { divide, DIMENSIONLESS, parseDimension, type Dimension } from '../units/index.js';
import { callAt, nameOf, type OpenCall, type Place } from './bindings.js';
import { textOf } from './caret.js';
import { dimensionOf, type Scene } from './evaluate.js';

export interface Expected {
  readonly dimension: Dimension;
  readonly point: boolean;
}

/** A place in a project, with what is bound there, and the text behind it. */
export interface Sight extends Place {
  readonly project: Project;
  readonly env: Environment | null;
  readonly after: string;
}

/** `path` ends with the node that is due. Null where nothing tells. */
export function dueAt(sight: Sight, path: readonly Open[]): Expected | null {
  return around(sight, path) ?? ahead(sight);
}

type Due = (sight: Sight, path: readonly Open[], node: Tree) => Expected | null;

/** By what the node is in the one around it, which is given. */
const DUE: Partial<Record<Role, Due>> = {
  'Arithmetic.operands': inArithmetic,
  'Power.exponent': () => ({ dimension: DIMENSIONLESS, point: false }),
  'Toleranced.spread': (sight, _, node) => dimension(sight, node.node('nominal')),
  'Signed.operand': around,
  'Value.expression': around,
  'Group.items': (sight, path, node) => dimension(sight, node.node('items')) ?? around(sight, path),
  'Conditional.yes': around,
  'Conditional.no': (sight, path, node) => dimension(sight, node.node('yes')) ?? around(sight, path),
  'Argument.value': inArgument,
  'Entry.key': (sight, path) => inRows(sight, path, 'entries', 'key'),
  'Entry.value': (sight, path) => inRows(sight, path, 'entries', 'value'),
  'TableRow.key': (sight, path) => inRows(sight, path, 'rows', 'key'),
  'TableRow.value': (sight, path) => inRows(sight, path, 'rows', 'value'),
  'Binder.step': (sight, _, node) => dimension(sight, node.node('domain')),
  'Within.step': (sight, _, node) => dimension(sight, node.node('range')),
  'Within.range': ofValueBefore,
  'UseValue.value': ofValueBefore,
  'Let.value': inCalculation,
  'Formula.value': inCalculation,
  'Field.value': inField,
};

function around(sight: Sight, path: readonly Open[]): Expected | null {
  const [outer, inner] = path.slice(-2);
  if (!outer || !inner || inner.role === '') return null;
  return DUE[inner.role]?.(sight, path.slice(0, -1), outer.node) ?? null;
}

function dimension({ scene, caret, entity, env }: Sight, node: Tree | null | undefined): Expected | null {
  return node ? dimensionOf(scene.value(textOf(caret, node), entity, env)) : null;
}

const PRODUCTS: ReadonlySet<string> = new Set(['*', '/']);

/** Behind an operator what is due is as what stands before it; a factor makes up what is left of the whole. */
function inArithmetic(sight: Sight, path: readonly Open[], node: Tree): Expected | null {
  const { scene, caret, entity, env } = sight;
  return operatorsBefore(node).reduce<Expected | null>(
    (whole, { sign, start, end }) => {
      const before = dimensionOf(scene.value(caret.source.slice(start, end), entity, env));
      if (!PRODUCTS.has(sign)) return before;
      if (!whole || !before) return null;
      const [of, by] = sign === '*' ? [whole, before] : [before, whole];
      return { dimension: divide(of.dimension, by.dimension), point: false };
    },
    around(sight, path) ?? ahead(sight),
  );
}

/** The rows of a list or a table are alike. */
function inRows(sight: Sight, path: readonly Open[], rows: string, column: string): Expected | null {
  const first = path.at(-2)?.node.node(rows);
  return dimension(sight, first?.node(column));
}

/** A word behind a value: of the same dimension as that. */
function ofValueBefore(sight: Sight, path: readonly Open[]): Expected | null {
  return dimension(sight, path.at(-2)?.node.node('expression'));
}

function inArgument(sight: Sight, path: readonly Open[], node: Tree): Expected | null {
  if (node.node('binders') || node.token('separator')?.image === ':') return null;
  const call = callAt(sight, sight.env, path);
  return call && ofArgument(sight.scene, call);
}

function ofArgument(scene: Scene, { value, argument, argumentName }: OpenCall): Expected | null {
  if (value?.kind === 'formula') {
    const { parameters: list } = value.item;
    const parameter = argumentName ? list?.find(({ name }) => name === argumentName) : list?.[argument];
    return parameter
      ? dimensionOf(scene.elaborator(value.item, value.scope).typed(parameter.type, parameter.id))
      : null;
  }
  if (value?.kind !== 'table') return null;
  const input = argumentName ? value.inputs.find(({ name }) => name === argumentName) : value.inputs[argument];
  return input && !input.text ? input : null;
}

function inCalculation({ scene, caret, entity, project }: Sight, _: readonly Open[], node: Tree): Expected | null {
  const type = node.node('type');
  const typed = type ? dimensionOf(scene.typed(textOf(caret, type), entity)) : null;
  return typed ?? known(project, entity, nameOf(node));
}

function inField({ scene, caret, entity, project }: Sight, _: readonly Open[], node: Tree): Expected | null {
  const keyword = caret.blocks.at(-1)?.keyword ?? '';
  const name = node.node('path')?.nodes('segments').at(-1)?.first?.image ?? '';
  return (
    fieldDimension(keyword, name) ??
    known(project, entity, name) ??
    given(scene, entity, name) ??
    ofSiblings(project, keyword, entity, name)
  );
}

function fieldDimension(kind: string, name: string): Expected | null {
  const type = BLOCKS.get(kind)?.fields[name]?.type;
  if (type === 'temperature point') return { dimension: parseDimension('temperature')!, point: true };
  const found = parseDimension(type?.replace(/ vector$/, '') ?? '');
  return found ? { dimension: found, point: false } : null;
}

function known(project: Project, entity: Entity, name: string): Expected | null {
  const item = entity.values.get(name);
  // A number whose unit is still to come says nothing.
  if (!item || item.value.kind === 'missing' || (item.value.kind === 'number' && item.value.unitText === null))
    return null;
  return dimensionOf(project.view.evaluation.valueOf(entity, name));
}

/** What a part's kind says of a value that it asks for. */
function given(scene: Scene, entity: Entity, name: string): Expected | null {
  const parameter = entity.base && declared(entity.base, 'kind').given.find(candidate => candidate.name === name);
  return parameter
    ? dimensionOf(
        scene.elaborator(entity.base!.declaration.title ?? NO_ITEM, entity.base!).typed(parameter.type, parameter.id),
      )
    : null;
}

const NO_ITEM = {
  kind: 'text' as const,
  name: '',
  hash: '',
  spans: [0, 0],
  placement: { file: '', start: 0 },
  segments: [],
};
const MOST_SIBLINGS = 50;

/** What others of the kind have under the same name. */
function ofSiblings(project: Project, kind: string, entity: Entity, name: string): Expected | null {
  let looked = 0;
  for (const sibling of project.namespace.entitiesOf(kind)) {
    if (sibling === entity || !sibling.values.has(name)) continue;
    const found = known(project, sibling, name);
    if (found) return found;
    if (++looked > MOST_SIBLINGS) break;
  }
  return null;
}

/** What stands behind the caret: `| <= material.yield`. */
function ahead({ scene, entity, env, after }: Sight): Expected | null {
  const found = /^[ \t]*(?:<=|>=|≤|≥|<|>|\+|-)[ \t]*([^\n]+)/u
    .exec(after)?.[1]
    ?.replace(/\/\/.*$/, '')
    .trim();
  return found ? dimensionOf(scene.value(found, entity, env)) : null;
}
