/** A name as it is offered: what it stands for, its value, its dimension against the one that is due. */
import { BUILTINS } from '../../engine/elaboration/builtins.js';
import { titleOf } from '../../engine/values/describe.js';
import { printValue } from '../../engine/explain.js';
import type { Value } from '../../engine/values/value.js';
import { LIBRARY, type Parameter, type ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { dimensionName } from '../../units/index.js';
import { BLOCK_KINDS } from '../block-kinds.js';
import type { Expected } from '../due.js';
import { dimensionOf } from '../evaluate.js';
import type { Visible } from '../scope.js';
import { typeText } from '../signature.js';
import { fit, KIND, type Offers } from './offers.js';

/** `sort` goes before the order that the name has by itself. */
export function visible(offers: Offers, name: Visible, expected: Expected | null, sort = ''): void {
  const { data } = offers;
  const far = `${sort}${expected ? 2 : 1}${name.distance}`;
  switch (name.kind) {
    case 'value':
      return value(offers, name, expected, sort);
    case 'given': {
      const found = parameterDimension(offers, name.parameter, name.entity);
      return offers.add(name.name, KIND.property, `${sort}${fit(found, expected)}${name.distance}`, {
        detail: typeText(name.parameter.type) ?? 'given',
      });
    }
    case 'entity':
      return offers.add(name.name, BLOCK_KINDS.get(name.entity.kind)?.completion ?? KIND.class, far, {
        detail: [name.entity.kind, titleOf(name.entity)].filter(Boolean).join(' · '),
        data: { ...data, entity: name.entity.key },
      });
    case 'builtin':
      return offers.add(name.name, KIND.function, far, {
        detail: BUILTINS.get(name.name)!.signature,
        data: { ...data, builtin: name.name },
        ...call(offers, name.name, [{ name: '' }]),
      });
    case 'constant':
      return offers.add(name.name, KIND.constant, far);
  }
}

function value(
  offers: Offers,
  { name, entity, item, distance }: Visible & { readonly kind: 'value' },
  expected: Expected | null,
  sort: string,
): void {
  const isLibrary = item.placement.file.startsWith(LIBRARY);
  const data = { ...offers.data, entity: entity.key, name: item.name, ...(isLibrary && { library: true }) };
  const sorted = (found: Expected | null): string => `${sort}${fit(found, expected)}${distance}`;
  if (item.parameters)
    return offers.add(name, KIND.function, sorted(resultDimension(offers, entity, item)), {
      detail: parametersText(item),
      data,
      ...call(offers, name, item.parameters),
    });
  const found = offers.context.project.view.evaluation.valueOf(entity, item.name);
  const detail = printed(offers, found);
  const kind = found?.kind === 'table' ? KIND.function : item.kind === 'let' ? KIND.variable : KIND.field;
  offers.add(name, kind, sorted(dimensionOf(found)), { ...(detail && { detail }), data });
}

function parametersText({ parameters, type }: ValueItem): string {
  const list = parameters!.map(({ name, type: of }) => [name, typeText(of)].filter(Boolean).join(': '));
  const result = typeText(type);
  return `(${list.join(', ')})${result ? `: ${result}` : ''}`;
}

export function printed({ context }: Offers, found: Value | undefined): string | undefined {
  if (!found || found.kind === 'poison') return undefined;
  const { evaluation } = context.project.view;
  return found.kind === 'quantity' && found.node >= evaluation.arena.size
    ? dimensionName(found.dimension)
    : printValue(node => evaluation.number(node), found);
}

/** A call with its parameters as places to fill in. */
function call(
  { sight, context }: Offers,
  name: string,
  parameters: readonly Pick<Parameter, 'name'>[],
): { insert?: string; insertTextFormat?: 2 } {
  if (/^\s*\(/.test(sight.after)) return {};
  if (!context.settings.snippets) return { insert: `${name}(` };
  const places = parameters.map(({ name: of }, i) => {
    const place = `\${${i + 1}${of ? `:${of}` : ''}}`;
    return parameters.length > 1 ? `${of} = ${place}` : place;
  });
  return { insert: `${name}(${places.join(', ')})`, insertTextFormat: 2 };
}

function parameterDimension({ sight }: Offers, { type, id }: Parameter, { declaration }: Entity): Expected | null {
  const [item] = declaration.values;
  return type && item ? dimensionOf(sight.scene.elaborator(item, sight.entity).typed(type, id)) : null;
}

const RESULTS = new WeakMap<ValueItem, Expected | null>();

/** What a formula gives: as it says, else as it comes out for some caller. */
function resultDimension({ sight: { scene } }: Offers, entity: Entity, item: ValueItem): Expected | null {
  const known = RESULTS.get(item);
  if (known !== undefined) return known;
  const elaborator = scene.elaborator(item, entity);
  const found = dimensionOf(
    item.type
      ? elaborator.typed(item.type, item.id)
      : elaborator.expression(item.value, scene.environment(entity, item)),
  );
  const result = found && { dimension: found.dimension, point: found.point };
  RESULTS.set(item, result);
  return result;
}
