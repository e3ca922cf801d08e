/**
 * Mass properties of parts. A part's `position` is where its own centre of mass lies and where its own frame has its
 * origin; the
 * parts inside are placed in that frame. Masses, first moments and inertias roll up through counts, positions and
 * frames; a mass
 * without a position leaves the centre of mass undetermined, not wrong.
 */
import type { FindingCode } from '../../language/index.js';
import { ON_SLOTS, onBlocks, onName } from '../../model/dependency.js';
import type { ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS, LENGTH, MASS, multiply } from '../../units/index.js';
import type { Elaboration, Host } from './elaboration.js';
import { INERTIA, INERTIA_ENTRIES } from './fields.js';
import {
  describeKind,
  hiddenEntry,
  isPoison,
  POISON,
  type Place,
  type Quantity,
  type RecordValue,
  type Value,
  type Vector,
} from '../values/value.js';
import { Op } from '../operations/op.js';
import { declared, saidIn } from '../../model/statements.js';
import { mapTuple } from '../../base/index.js';

type Triple = readonly [number, number, number];
/** Ixx, Iyy, Izz, Ixy, Ixz, Iyz as elements of the tensor. */
type Tensor = readonly [number, number, number, number, number, number];
type Rotation = readonly [Triple, Triple, Triple];

const MOMENT = multiply(MASS, LENGTH);

/** The parts that a part holds: those inside it and those that fill its slots. */
export function partMembers(host: Host, entity: Entity, onPoison: (value: Value) => void = () => undefined): Entity[] {
  const parts = entity.children('part');
  host.dependsOn(ON_SLOTS, entity);
  for (const [name, item] of entity.values) {
    if (item.kind !== 'slot') continue;
    const found = host.itemOf(entity, name)!.item;
    const value = host.read(entity, found);
    if (value.kind === 'entity' && value.entity.kind === 'part' && !parts.includes(value.entity))
      parts.push(value.entity);
    if (isPoison(value)) onPoison(value);
  }
  return parts;
}

/** Arithmetic on numbers of the arena, for formulas longer than an operator or two. */
class Numbers {
  constructor(readonly elaborator: Elaboration) {}
  constant(x: number): number {
    return this.elaborator.builder.constant(x);
  }
  add(x: number, y: number): number {
    return this.elaborator.builder.node(Op.Add, x, y);
  }
  subtract(x: number, y: number): number {
    return this.elaborator.builder.node(Op.Subtract, x, y);
  }
  multiply(x: number, y: number): number {
    return this.elaborator.builder.node(Op.Multiply, x, y);
  }
  divide(x: number, y: number): number {
    return this.elaborator.builder.node(Op.Divide, x, y);
  }
  sum(...terms: number[]): number {
    return terms.reduce((x, y) => this.add(x, y));
  }
  scale(v: Triple, by: number): Triple {
    return [this.multiply(v[0], by), this.multiply(v[1], by), this.multiply(v[2], by)];
  }
  plus(v: Triple, w: Triple): Triple {
    return [this.add(v[0], w[0]), this.add(v[1], w[1]), this.add(v[2], w[2])];
  }
  rotate(r: Rotation, v: Triple): Triple {
    return mapTuple(r, row => this.sum(...row.map((x, i) => this.multiply(x, v[i]!))));
  }
  product(r: Rotation, s: Rotation): Rotation {
    return mapTuple(r, row =>
      mapTuple([0, 1, 2] as const, j => this.sum(...row.map((x, k) => this.multiply(x, s[k]![j])))),
    );
  }

  /** R I Rᵀ. */
  turn(r: Rotation, [xx, yy, zz, xy, xz, yz]: Tensor): Tensor {
    const inertia: Rotation = [
      [xx, xy, xz],
      [xy, yy, yz],
      [xz, yz, zz],
    ];
    const transposed: Rotation = [
      [r[0][0], r[1][0], r[2][0]],
      [r[0][1], r[1][1], r[2][1]],
      [r[0][2], r[1][2], r[2][2]],
    ];
    const t = this.product(this.product(r, inertia), transposed);
    return [t[0][0], t[1][1], t[2][2], t[0][1], t[0][2], t[1][2]];
  }

  /**
   * Inertia about another origin of a body with mass `m` and first moment `m·c`, moved by `p`: I + the shift of its own
   * origin.
   */
  shifted(inertia: Tensor, mass: number, moment: Triple, p: Triple): Tensor {
    const { add, multiply: by } = { add: this.sum.bind(this), multiply: this.multiply.bind(this) };
    const double = (x: number): number => this.multiply(this.constant(2), x);
    const [mx, my, mz] = moment;
    const [x, y, z] = p;
    const square = (u: number): number => by(mass, by(u, u));
    const negative = (u: number): number => this.elaborator.builder.node(Op.Negate, u);
    return [
      add(inertia[0], double(by(my, y)), square(y), double(by(mz, z)), square(z)),
      add(inertia[1], double(by(mx, x)), square(x), double(by(mz, z)), square(z)),
      add(inertia[2], double(by(mx, x)), square(x), double(by(my, y)), square(y)),
      add(inertia[3], negative(add(by(mx, y), by(my, x), by(mass, by(x, y))))),
      add(inertia[4], negative(add(by(mx, z), by(mz, x), by(mass, by(x, z))))),
      add(inertia[5], negative(add(by(my, z), by(mz, y), by(mass, by(y, z))))),
    ];
  }
}

interface Body {
  readonly basic: number;
  readonly predicted: number;
  readonly moment: Triple;
  readonly inertia: Tensor;
  /** Masses that no growth table applies to yet, by maturity: what fills a slot grows by the table above that. */
  readonly ungrown: ReadonlyMap<string, number>;
}

const NONE_UNGROWN: ReadonlyMap<string, number> = new Map();

/** One item of a part with all that is inside it, about the origin of its own frame. */
export function massProperties(elaborator: Elaboration, entity: Entity): Value {
  elaborator.host.dependsOn(onBlocks('part'));
  const { namespace } = elaborator.host;
  const holds = namespace.missingIn(entity);
  // What its kind holds is missing in it.
  if (holds !== undefined)
    return { kind: 'poison', reason: { code: 'kind-not-repeated', data: kindNotRepeated(entity, holds), place: null } };
  // What it holds is missing in it, too.
  if (namespace.standsInItself(entity))
    return {
      kind: 'poison',
      reason: {
        code: 'circle',
        data: { kind: 'part', loop: `${entity.label} → … → ${entity.label}` },
        place: { owner: entity, id: 2 },
      },
    };
  const n = new Numbers(elaborator);
  const zero = n.constant(0);
  let body: Body = {
    basic: zero,
    predicted: zero,
    moment: [zero, zero, zero],
    inertia: [zero, zero, zero, zero, zero, zero],
    ungrown: NONE_UNGROWN,
  };
  const own = ownMass(elaborator, n, entity);
  if (own && 'kind' in own) return own;
  if (own)
    body = {
      basic: own.mass,
      predicted: own.growth === null ? own.mass : grown(n, own.mass, own.growth),
      moment: body.moment,
      inertia: own.inertia,
      ungrown: own.growth === null ? new Map([[own.maturity, own.mass]]) : NONE_UNGROWN,
    };
  let unknown: Value | null = null;
  const members = partMembers(elaborator.host, entity, value => (unknown = value));
  if (unknown) return unknown;
  for (const child of members) {
    const added = placed(elaborator, n, entity, child);
    if ('kind' in added) return added;
    for (const item of added) {
      body = {
        basic: n.add(body.basic, item.basic),
        predicted: n.add(body.predicted, item.predicted),
        moment: n.plus(body.moment, item.moment),
        inertia: mapTuple(body.inertia, (x, i) => n.add(x, item.inertia[i]!)),
        ungrown: joined(n, body.ungrown, item.ungrown),
      };
    }
  }
  return record(elaborator, n, body);
}

function grown(n: Numbers, mass: number, growth: number): number {
  return n.multiply(mass, n.add(n.constant(1), growth));
}

function joined(n: Numbers, x: Body['ungrown'], y: Body['ungrown']): Body['ungrown'] {
  if (x.size === 0 || y.size === 0) return x.size === 0 ? y : x;
  const all = new Map(x);
  for (const [maturity, mass] of y) {
    const known = all.get(maturity);
    all.set(maturity, known === undefined ? mass : n.add(known, mass));
  }
  return all;
}

/** What is told of a part in which its kind is not repeated whole. */
export function kindNotRepeated(part: Entity, holds: string): Record<string, string> {
  return { name: part.label, kind: declared(part, 'part').is?.path.join('.') ?? '', holds };
}

function record(elaborator: Elaboration, n: Numbers, body: Body): RecordValue {
  const kilogram = (node: number): Quantity => elaborator.quantity(node, MASS);
  const centre: Triple = [
    n.divide(body.moment[0], body.basic),
    n.divide(body.moment[1], body.basic),
    n.divide(body.moment[2], body.basic),
  ];
  const negative = (node: number): number => elaborator.builder.node(Op.Negate, node);
  // About the centre of mass: moved back by c from the origin, I_c = I_o − m·c².
  const about = n.shifted(body.inertia, negative(body.basic), [n.constant(0), n.constant(0), n.constant(0)], centre);
  const tensor = (t: Tensor): RecordValue => ({
    kind: 'record',
    entries: new Map(INERTIA_ENTRIES.map((name, i) => [name, elaborator.quantity(t[i]!, INERTIA)])),
  });
  return {
    kind: 'record',
    entries: new Map<string, Value>([
      ['basic_mass', kilogram(body.basic)],
      ['predicted_mass', kilogram(body.predicted)],
      ['center_of_mass', elaborator.vector(centre, LENGTH)],
      ['inertia_tensor', tensor(about)],
      [MOMENT_ENTRY, elaborator.vector(body.moment, MOMENT)],
      [INERTIA_ENTRY, tensor(body.inertia)],
      [
        UNGROWN_ENTRY,
        { kind: 'record', entries: new Map([...body.ungrown].map(([name, mass]) => [name, kilogram(mass)])) },
      ],
    ]),
  };
}

const MOMENT_ENTRY = hiddenEntry('moment');
const INERTIA_ENTRY = hiddenEntry('inertia');
const UNGROWN_ENTRY = hiddenEntry('ungrown');

function ownMass(
  elaborator: Elaboration,
  n: Numbers,
  entity: Entity,
): { mass: number; maturity: string; growth: number | null; inertia: Tensor } | Value | null {
  const found = fieldOf(elaborator, entity, 'mass');
  const zero = n.constant(0);
  if (!found) return null;
  const mass = elaborator.host.read(entity, found.item);
  if (isPoison(mass)) return mass;
  if (mass.kind !== 'quantity' || mass.dimension !== MASS) return POISON;
  const maturity = found.item.annotations.maturity ?? '';
  const growth = growthOf(elaborator, entity, maturity, { part: entity, mass: found.item });
  const item = fieldOf(elaborator, entity, 'inertia')?.item;
  const given = item ? elaborator.host.read(entity, item) : null;
  if (given?.kind === 'vector' && given.dimension === INERTIA)
    return { mass: mass.node, maturity, growth, inertia: [...given.nodes, zero, zero, zero] };
  if (given?.kind === 'record')
    return {
      mass: mass.node,
      maturity,
      growth,
      inertia: mapTuple(INERTIA_ENTRIES, name => numberOf(elaborator, given.entries.get(name), zero)),
    };
  const own = numberOf(elaborator, given ?? undefined, zero);
  return { mass: mass.node, maturity, growth, inertia: [own, own, own, own, own, own] };
}

/** The number of a quantity; of nothing, `none`; of what is undetermined, undetermined for the same reason. */
function numberOf(elaborator: Elaboration, value: Value | undefined, none: number): number {
  if (!value) return none;
  if (value.kind === 'quantity') return value.node;
  const reason = isPoison(value) ? value.reason : null;
  return elaborator.builder.undetermined(reason?.code ?? 'undetermined', reason?.data ?? {}, reason?.place ?? null);
}

/** The mass that grows, and the part that it is of, for what is told where it can't. */
interface Growing {
  readonly part: Entity;
  readonly mass: ValueItem | null;
}

/** The growth that the nearest growth table from `from` upward gives for a maturity; null where there is no table. */
function growthOf(elaborator: Elaboration, from: Entity, maturity: string, { part, mass }: Growing): number | null {
  const { builder, host, problems } = elaborator;
  for (let at: Entity | null = from; at; at = at.parent) {
    const item = fieldOf(elaborator, at, 'growth')?.item;
    if (!item) continue;
    const table = host.read(at, item);
    if (table.kind !== 'entity' || table.entity.kind !== 'growth')
      return builder.undetermined('growth-expected', {}, { owner: item, id: item.id });
    const place: Place = mass ? { owner: mass, id: mass.id } : { owner: part, id: 2 };
    const unknown = (code: FindingCode, data: Readonly<Record<string, string>>): number => {
      problems.push({ code, place, data });
      return builder.undetermined(code, data, place);
    };
    if (maturity === '') return unknown('maturity-missing', { part: part.path, table: table.entity.name });
    const row = fieldOf(elaborator, table.entity, maturity)?.item;
    if (!row)
      return unknown('maturity-unknown', {
        maturity,
        table: table.entity.name,
        known: [...host.valueNames(table.entity)].sort().join(', '),
      });
    const growth = host.read(table.entity, row);
    return growth.kind === 'quantity' && growth.dimension === DIMENSIONLESS
      ? growth.node
      : builder.undetermined('growth-expected', {}, { owner: row, id: row.id });
  }
  return null;
}

/** What fills a slot; of it, what no table of its own applies to grows by the one of the part with the slot. */
function grownInSlot(elaborator: Elaboration, n: Numbers, holder: Entity, filler: Entity, body: Body): Body {
  let { predicted } = body;
  const ungrown = new Map<string, number>();
  for (const [maturity, mass] of body.ungrown) {
    const own = fieldOf(elaborator, filler, 'mass')?.item;
    const item = own && (own.annotations.maturity ?? '') === maturity ? own : null;
    const growth = growthOf(elaborator, holder, maturity, { part: filler, mass: item });
    if (growth === null) ungrown.set(maturity, mass);
    else predicted = n.add(predicted, n.multiply(mass, growth));
  }
  return { ...body, predicted, ungrown };
}

/** All items of a child, each in its place in the frame of `parent`. */
function placed(elaborator: Elaboration, n: Numbers, parent: Entity, child: Entity): Body[] | Value {
  const properties = elaborator.host.attribute(child, 'mass_properties')!;
  if (properties.kind !== 'record') return properties;
  const quantity = (name: string): number => (properties.entries.get(name) as Quantity).node;
  const inner = properties.entries.get(INERTIA_ENTRY) as RecordValue;
  const ungrown = properties.entries.get(UNGROWN_ENTRY) as RecordValue;
  const own: Body = {
    basic: quantity('basic_mass'),
    predicted: quantity('predicted_mass'),
    moment: (properties.entries.get(MOMENT_ENTRY) as Vector).nodes,
    inertia: [...inner.entries.values()].map(value => (value as Quantity).node) as unknown as Tensor,
    ungrown: new Map([...ungrown.entries].map(([maturity, mass]) => [maturity, (mass as Quantity).node])),
  };
  const body = child.parent === parent ? own : grownInSlot(elaborator, n, parent, child, own);
  const countItem = fieldOf(elaborator, child, 'count')?.item;
  const count = countItem ? elaborator.host.read(child, countItem) : null;
  if (count && isPoison(count)) return count;
  const many = count?.kind === 'quantity' ? count.node : n.constant(1);
  const positions = countItem?.annotations.positions ? positionList(elaborator, child, countItem) : null;
  const base = basePosition(elaborator, n, parent, child);
  if (positions) {
    if (elaborator.demand(many) !== positions.length)
      elaborator.problems.push({
        code: 'positions-count',
        place: { owner: countItem!, id: countItem!.id },
        data: { count: String(elaborator.builder.value(many)), positions: String(positions.length) },
      });
    const origin: Placement = base ?? { at: [n.constant(0), n.constant(0), n.constant(0)], rotation: null };
    return positions.map(position =>
      move(
        n,
        body,
        {
          at: n.plus(origin.at, origin.rotation ? n.rotate(origin.rotation, position) : position),
          rotation: origin.rotation,
        },
        n.constant(1),
      ),
    );
  }
  return [move(n, body, base ?? unplaced(elaborator, n, child), many)];
}

function statesMass(elaborator: Elaboration, part: Entity): boolean {
  return (
    fieldOf(elaborator, part, 'mass') !== undefined ||
    partMembers(elaborator.host, part).some(member => statesMass(elaborator, member))
  );
}

interface Placement {
  readonly at: Triple;
  readonly rotation: Rotation | null;
}

/** Wherever it is, where it has no mass, neither of its own nor inside. */
function unplaced(elaborator: Elaboration, n: Numbers, child: Entity): Placement {
  if (!statesMass(elaborator, child)) return { at: [n.constant(0), n.constant(0), n.constant(0)], rotation: null };
  const node = elaborator.builder.undetermined('position-missing', { part: child.path }, { owner: child, id: 2 });
  return { at: [node, node, node], rotation: null };
}

function move(n: Numbers, body: Body, placement: Placement, count: number): Body {
  const moment = placement.rotation ? n.rotate(placement.rotation, body.moment) : body.moment;
  const inertia = placement.rotation ? n.turn(placement.rotation, body.inertia) : body.inertia;
  const shifted = n.shifted(inertia, body.basic, moment, placement.at);
  return {
    basic: n.multiply(body.basic, count),
    predicted: n.multiply(body.predicted, count),
    moment: n.scale(n.plus(moment, n.scale(placement.at, body.basic)), count),
    inertia: mapTuple(shifted, x => n.multiply(x, count)),
    ungrown: new Map([...body.ungrown].map(([maturity, mass]) => [maturity, n.multiply(mass, count)])),
  };
}

function positionList(elaborator: Elaboration, child: Entity, item: ValueItem): Triple[] | null {
  const value = elaborator.inItem(item, child, () => elaborator.expression(item.annotations.positions!, null));
  const zero = elaborator.builder.constant(0);
  if (value.kind !== 'list') return null;
  const triples: Triple[] = [];
  for (const entry of value.items) {
    if (entry.kind === 'vector' && entry.dimension === LENGTH) triples.push(entry.nodes);
    else if (
      entry.kind === 'list' &&
      entry.items.length === 2 &&
      entry.items.every(part => part.kind === 'quantity' && part.dimension === LENGTH)
    )
      triples.push([(entry.items[0] as Quantity).node, (entry.items[1] as Quantity).node, zero]);
    else {
      elaborator.problems.push({
        code: 'position-expected',
        place: { owner: item, id: item.annotations.positions!.id },
        data: { found: describeKind(entry) },
      });
      return null;
    }
  }
  return triples;
}

/** The item of a field; what is calculated from it follows when the field comes or goes. */
function fieldOf(elaborator: Elaboration, entity: Entity, name: string): ReturnType<Host['itemOf']> {
  elaborator.host.dependsOn(onName(name), entity);
  return elaborator.host.itemOf(entity, name);
}

/** Where a child's origin lies in the frame of its parent; null where nothing says so. */
function basePosition(elaborator: Elaboration, n: Numbers, parent: Entity, child: Entity): Placement | null {
  const item = fieldOf(elaborator, child, 'position')?.item;
  if (!item) return null;
  const value = elaborator.host.read(child, item);
  if (value.kind !== 'vector') return null;
  const frame = item.annotations.frame
    ? elaborator.host.namespace.resolvePath(item.annotations.frame.path, child)
    : null;
  if (!item.annotations.frame) return { at: value.nodes, rotation: null };
  if (!frame || frame.kind !== 'frame') {
    elaborator.problems.push({
      code: 'frame-expected',
      place: { owner: item, id: item.annotations.frame.id },
      data: { name: item.annotations.frame.path.join('.') },
    });
    return null;
  }
  return throughFrames(elaborator, n, frame, { at: value.nodes, rotation: null }, parent, item);
}

function throughFrames(
  elaborator: Elaboration,
  n: Numbers,
  frame: Entity,
  placement: Placement,
  parent: Entity,
  item: ValueItem,
): Placement | null {
  let at: Entity | null = frame;
  let result = placement;
  for (let steps = 0; at && at.kind === 'frame'; steps++) {
    if (steps > 32) {
      elaborator.problems.push({
        code: 'frames-in-a-circle',
        place: { owner: item, id: item.annotations.frame!.id },
        data: { name: frame.name },
      });
      return null;
    }
    const rotation = rotationOf(elaborator, n, at);
    const origin = vectorField(elaborator, at, 'origin');
    result = {
      at: n.plus(
        origin ?? [n.constant(0), n.constant(0), n.constant(0)],
        rotation ? n.rotate(rotation, result.at) : result.at,
      ),
      rotation: rotation && result.rotation ? n.product(rotation, result.rotation) : (rotation ?? result.rotation),
    };
    const within: readonly string[] | undefined = saidIn(at.declaration, 'in')[0]?.path;
    at = within ? elaborator.host.namespace.resolvePath(within, at) : at.parent;
  }
  if (at !== parent && at !== null && at.kind === 'part')
    elaborator.problems.push({
      code: 'frame-elsewhere',
      place: { owner: item, id: item.annotations.frame!.id },
      data: { frame: frame.name, of: at.path, parent: parent.path },
    });
  return result;
}

function vectorField(elaborator: Elaboration, entity: Entity, name: string): Triple | null {
  const item = fieldOf(elaborator, entity, name)?.item;
  const value = item ? elaborator.host.read(entity, item) : null;
  return value?.kind === 'vector' ? value.nodes : null;
}

/** Turns about x, then y, then z: R = Rz·Ry·Rx. */
function rotationOf(elaborator: Elaboration, n: Numbers, frame: Entity): Rotation | null {
  const angles = vectorField(elaborator, frame, 'rotate');
  if (!angles) return null;
  const { builder } = elaborator;
  const zero = n.constant(0);
  const one = n.constant(1);
  const [cx, cy, cz] = mapTuple(angles, angle => builder.node(Op.Cos, angle));
  const [sx, sy, sz] = mapTuple(angles, angle => builder.node(Op.Sin, angle));
  const minus = (x: number): number => builder.node(Op.Negate, x);
  const aboutX: Rotation = [
    [one, zero, zero],
    [zero, cx, minus(sx)],
    [zero, sx, cx],
  ];
  const aboutY: Rotation = [
    [cy, zero, sy],
    [zero, one, zero],
    [minus(sy), zero, cy],
  ];
  const aboutZ: Rotation = [
    [cz, minus(sz), zero],
    [sz, cz, zero],
    [zero, zero, one],
  ];
  return n.product(aboutZ, n.product(aboutY, aboutX));
}
