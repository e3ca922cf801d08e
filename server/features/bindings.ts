/** What parameters, sweeps, entries and comprehensions bind at the caret, and the call that it is in. */
import type { Environment } from '../engine/elaboration/elaboration.js';
import { isPoison, type Value } from '../engine/values/value.js';
import type { Entity } from '../model/namespace.js';
import { isTree, type Open, type Tree } from '../syntax/tolerant/tree.js';
import { textOf, type Caret } from './caret.js';
import type { Scene } from './evaluate.js';

/** What is looked at, and from where. */
export interface Place {
  readonly scene: Scene;
  readonly caret: Caret;
  readonly entity: Entity;
}

type Bind = (place: Place, node: Tree, env: Environment | null) => Environment | null;

const BINDING: Readonly<Record<string, Bind>> = {
  Let: parameters,
  Formula: parameters,
  Check: binders,
  Argument: argument,
  Record: entries,
};

/** The names bound where the caret is, the innermost last, as an environment. */
export function environmentAt(place: Place, path: readonly Open[] = place.caret.path): Environment | null {
  return path.reduce<Environment | null>((env, { node }) => BINDING[node.type]?.(place, node, env) ?? env, null);
}

export const UNKNOWN: Value = { kind: 'poison', reason: null };

export function find(env: Environment | null, name: string): Value | undefined {
  for (let at = env; at; at = at.parent) if (at.name === name) return at.value;
  return undefined;
}

export const nameOf = (node: Tree, property = 'name'): string => node.token(property)?.image ?? '';

function parameters({ scene, caret, entity }: Place, node: Tree, env: Environment | null): Environment | null {
  const list = node.node('parameters');
  if (!list) return env;
  const item = entity.values.get(nameOf(node));
  const known = item?.parameters ? scene.environment(entity, item) : null;
  return list.nodes('items').reduce<Environment | null>((parent, parameter) => {
    const name = nameOf(parameter);
    const type = parameter.node('type');
    const typed = type ? scene.typed(textOf(caret, type), entity) : null;
    return { name, value: typed && !isPoison(typed) ? typed : (find(known, name) ?? UNKNOWN), parent };
  }, env);
}

/** `for L in corners(X), T in knots(L.temperature)`. */
function binders({ scene, caret, entity }: Place, node: Tree, env: Environment | null): Environment | null {
  return node.nodes('binders').reduce((outer, binder) => {
    const start = binder.node('start');
    if (!start) return bound(scene, caret, entity, binder, 'domain', outer);
    const value = scene.value(textOf(caret, start), entity, outer) ?? UNKNOWN;
    return { name: nameOf(binder), value, parent: outer };
  }, env);
}

function bound(
  scene: Scene,
  caret: Caret,
  entity: Entity,
  node: Tree,
  domain: string,
  env: Environment | null,
): Environment | null {
  const over = textOf(caret, node.node(domain));
  return over === '' ? env : scene.bind(nameOf(node), over, entity, env);
}

/** `k: …`, `x in lo .. hi: …`, and what a sweep binds. */
function argument(place: Place, node: Tree, env: Environment | null): Environment | null {
  const { scene, caret, entity } = place;
  if (node.node('range')) return bound(scene, caret, entity, node, 'range', env);
  if (node.token('separator')?.image === ':')
    return { name: nameOf(node), value: scene.value('1', entity, null) ?? UNKNOWN, parent: env };
  return binders(place, node, env);
}

/** Entries of a record before the one that the caret is in, and what `let` names among them. */
function entries({ scene, caret, entity }: Place, node: Tree, env: Environment | null): Environment | null {
  return node.nodes('entries').reduce<Environment | null>((parent, entry) => {
    const value = scene.value(textOf(caret, entry.node('value')), entity, parent);
    return { name: nameOf(entry, 'key'), value: value ?? UNKNOWN, parent };
  }, env);
}

/** A formula, table or builtin whose brackets the caret is in, with the argument it is at. */
export interface OpenCall {
  readonly node: Tree;
  readonly callee: string;
  readonly value: Value | null;
  readonly argument: number;
  readonly argumentName: string | null;
}

export function callAt(place: Place, env: Environment | null, path = place.caret.path): OpenCall | null {
  const { scene, caret, entity } = place;
  const at = path.findLastIndex(({ node }) => node.type === 'Call');
  const call = path[at]?.node;
  const callee = call?.node('callee');
  if (!call || !callee) return null;
  const given = path[at + 1]?.node;
  const isNamed = given?.type === 'Argument' && given.token('separator')?.image === '=';
  return {
    node: call,
    callee: textOf(caret, callee),
    value: scene.value(textOf(caret, callee), entity, env),
    argument: call.parts.filter(({ value }) => !isTree(value) && value.image === ',').length,
    argumentName: isNamed ? nameOf(given) : null,
  };
}
