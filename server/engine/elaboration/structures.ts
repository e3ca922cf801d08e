/** Lists, vectors and records, and items taken out of them. */
import type { FindingCode } from '../../language/index.js';
import type { Annotations, RecordEntry } from '../../model/expression.js';
import { DIMENSIONLESS } from '../../units/index.js';
import type { Elaboration, Environment } from './elaboration.js';
import { describeKind, isPoison, type Quantity, type Value } from '../values/value.js';
import { memberOf } from './names.js';

/** `(x, y, z)` is a vector where its three items are alike, else a list. */
export function group(elaborator: Elaboration, items: readonly Value[]): Value {
  const poisoned = items.find(isPoison);
  if (poisoned && items.length === 3) return poisoned;
  if (
    items.length === 3 &&
    items.every(item => item.kind === 'quantity' && !item.point && item.dimension === (items[0] as Quantity).dimension)
  ) {
    const quantities = items as Quantity[];
    return elaborator.vector(
      quantities.map(item => item.node),
      quantities[0]!.dimension,
      quantities.find(item => item.unit)?.unit ?? null,
    );
  }
  return { kind: 'list', items };
}

/** Each entry reads those before it, and what `let` names among them. */
export function record(elaborator: Elaboration, entries: readonly RecordEntry[], env: Environment | null): Value {
  const result = new Map<string, Value>();
  const names = new Set<string>();
  let inner = env;
  for (const { name, value: expression, annotations, local } of entries) {
    if (names.has(name)) elaborator.problem('duplicate-entry', expression.id, { name });
    names.add(name);
    elaborator.path.push(name);
    const value = annotated(elaborator.expression(expression, inner), annotations);
    elaborator.path.pop();
    if (!local) result.set(name, value);
    inner = { name, value, parent: inner, isEntry: !local };
  }
  return { kind: 'record', entries: result };
}

/** `2.8 g0 any` binds to its value as basis and source do. */
export function annotated(value: Value, annotations: Annotations): Value {
  return annotations.anyDirection && value.kind === 'quantity' ? { kind: 'any-direction', magnitude: value } : value;
}

export function itemAt(elaborator: Elaboration, receiver: Value, index: Value, id: number): Value {
  if (isPoison(receiver)) return receiver;
  if (isPoison(index)) return index;
  if (index.kind === 'text') {
    if (receiver.kind === 'vector' || receiver.kind === 'record')
      return memberOf(elaborator, receiver, receiver.kind === 'vector' ? index.text.toLowerCase() : index.text, id);
    return elaborator.problem('index-expected', id, { found: describeKind(index) });
  }
  if (index.kind !== 'quantity' || index.dimension !== DIMENSIONLESS)
    return elaborator.problem('index-expected', id, { found: describeKind(index) });
  const items: readonly Value[] | null =
    receiver.kind === 'list'
      ? receiver.items
      : receiver.kind === 'vector'
        ? receiver.nodes.map(node => elaborator.quantity(node, receiver.dimension, receiver.unit))
        : null;
  if (!items) return elaborator.problem('not-a-list', id, { found: describeKind(receiver) });
  const at = elaborator.demand(index.node);
  if (at !== at) return undeterminedLike(elaborator, items[0], 'index-undetermined', id);
  if (!Number.isInteger(at) || at < 1 || at > items.length)
    return elaborator.problem('index-out-of-range', id, { index: String(at), length: String(items.length) });
  return items[at - 1]!;
}

function undeterminedLike(elaborator: Elaboration, value: Value | undefined, code: FindingCode, id: number): Value {
  const node = elaborator.builder.undetermined(code, {}, { owner: elaborator.item, id });
  return value?.kind === 'quantity'
    ? { ...value, node }
    : { kind: 'poison', reason: { code, data: {}, place: { owner: elaborator.item, id } } };
}
