/** What a dot leads to. */
import { printValue } from '../../engine/explain.js';
import type { Value } from '../../engine/values/value.js';
import type { Open, Tree } from '../../syntax/tolerant/tree.js';
import { around, textOf } from '../caret.js';
import type { Expected } from '../due.js';
import { dimensionOf } from '../evaluate.js';
import { membersOf } from '../scope.js';
import { fit, KIND, type Offers } from './offers.js';
import { visible } from './visible.js';

/** Behind the dot of an expression. */
export function members(offers: Offers, path: readonly Open[]): void {
  const at = path.findLastIndex(({ node }) => node.type === 'Member');
  const receiver = path[at]?.node.node('receiver');
  if (receiver) of(offers, textOf(offers.caret, receiver), receiver, offers.due(path.slice(0, at + 1)));
}

/** Behind the dot of a name that is no expression. */
export function segments(offers: Offers, path: readonly Open[]): void {
  const names = around(path, 'Path');
  if (names) of(offers, textOf(offers.caret, names).replace(/\.\s*$/, ''), names, null);
}

function of(offers: Offers, text: string, receiver: Tree, expected: Expected | null): void {
  const { scene, entity, env } = offers.sight;
  const value = scene.value(text, entity, env);
  if (!value || value.kind === 'poison') return everyLoadField(offers, receiver);
  for (const member of membersOf(offers.context.project, value)) {
    if (member.kind === 'entry') entry(offers, member.name, member.value, expected);
    else visible(offers, member, expected);
  }
}

/** What a name that nothing is known of may well be: the load that a formula is swept over. */
function everyLoadField(offers: Offers, receiver: Tree): void {
  const name = receiver.type === 'NameReference' ? receiver.token('name')?.image : undefined;
  let isBound = false;
  for (let at = offers.sight.env; at; at = at.parent) isBound ||= at.name === name;
  if (!isBound) return;
  for (const load of offers.context.project.namespace.entitiesOf('load'))
    for (const field of load.values.keys())
      if (field !== 'source' && field !== 'level')
        offers.add(field, KIND.field, '2', { detail: `of load ${load.name}` });
}

function entry(offers: Offers, name: string, value: Value | null, expected: Expected | null): void {
  const { evaluation } = offers.context.project.view;
  const detail = value ? printValue(node => evaluation.number(node), value) : '';
  offers.add(name, KIND.property, `${fit(dimensionOf(value), expected)}0`, detail === '' ? {} : { detail });
}
