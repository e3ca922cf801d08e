/**
 * Random models over every operation, sweep and reading, evaluated a second time here without any of the engine: at
 * points
 * sampled from all that varies no margin may lie below the one that is told, the point that is named must give what is
 * told, and what has no value somewhere may not pass.
 */
import type { CheckResult } from '../../server/engine/margin.js';
import { open } from '../findings/project.js';
import type { Random } from './property.js';

/** Values of what varies, by name. */
type Point = Readonly<Record<string, number>>;

/** An expression as text, and as a function of what varies. */
interface Term {
  readonly text: string;
  readonly at: (point: Point) => number;
}

interface Source {
  readonly name: string;
  readonly declaration: string;
  /** Place of the value for a number between −1 and 1. */
  readonly place: (share: number) => number;
}

interface Table {
  readonly name: string;
  readonly declaration: string;
  readonly at: (x: number, y: number) => number;
  readonly inputs: 1 | 2;
}

export interface Model {
  readonly text: string;
  readonly sources: readonly Source[];
  /** Sweeps of the check: names and their ranges. */
  readonly swept: readonly { readonly name: string; readonly low: number; readonly high: number }[];
  /** Margin at a point; NaN where undefined. */
  readonly margin: (point: Point) => number;
}

const number = (x: number): string => (x < 0 ? `(0 - ${-x})` : String(x));

function randomNumber(random: Random, low: number, high: number): number {
  return Number(random.between(low, high).toPrecision(4));
}

class Maker {
  readonly sources: Source[] = [];
  readonly tables: Table[] = [];
  readonly swept: { name: string; low: number; high: number }[] = [];
  private bound: string[] = [];
  private unknowns = 0;

  constructor(
    private readonly random: Random,
    private readonly wide: boolean,
  ) {}

  addSource(): void {
    const { random } = this;
    const name = `x${this.sources.length + 1}`;
    const centre = randomNumber(random, -3, 3);
    const share = this.wide ? random.between(0.1, 1) : random.between(0.001, 0.1);
    const half = Number((share * Math.max(0.3, Math.abs(centre))).toPrecision(3));
    const kind = random.below(3);
    if (kind === 0) {
      const percent = Number((share * 100).toPrecision(3));
      this.sources.push({
        name,
        declaration: `let ${name} = ${centre} ± ${percent} %`,
        place: s => centre + Math.abs(centre) * (percent / 100) * s,
      });
    } else if (kind === 1) {
      const [up, down] = [half, Number((half / 3).toPrecision(2))];
      this.sources.push({
        name,
        declaration: `let ${name} = ${centre} (+${up}, -${down})`,
        place: s => centre + (s > 0 ? s * up : s * down),
      });
    } else this.sources.push({ name, declaration: `let ${name} = ${centre} ± ${half}`, place: s => centre + s * half });
  }

  addTable(): void {
    const { random } = this;
    const name = `t${this.tables.length + 1}`;
    const kind = random.pick(['linear', 'linear', 'step', 'semilog', 'loglog'] as const);
    const positive = kind === 'semilog' || kind === 'loglog';
    const keys = ascending(random, positive ? 0.05 : -4, 6, 2 + random.below(4));
    const row = (): number[] => keys.map(() => randomNumber(random, positive ? 0.1 : -3, 4));
    if (random.chance(0.35)) {
      const first = ascending(random, positive ? 0.05 : -4, 6, 2 + random.below(3));
      const rows = first.map(row);
      const texts = rows.map(
        (values, i) => `${first[i]} -> [${values.map((y, k) => `${keys[k]} -> ${y}`).join(', ')}] ${kind}`,
      );
      this.tables.push({
        name,
        inputs: 2,
        declaration: `let ${name} = by u, v { ${texts.join('   ')} } ${kind}`,
        at: (x, y) => interpolate(kind, first, x, i => interpolate(kind, keys, y, k => rows[i]![k]!)),
      });
      return;
    }
    const values = row();
    this.tables.push({
      name,
      inputs: 1,
      declaration: `let ${name} = [${values.map((y, k) => `${keys[k]} -> ${y}`).join(', ')}] ${kind}`,
      at: x => interpolate(kind, keys, x, k => values[k]!),
    });
  }

  leaf(): Term {
    const { random } = this;
    const names = [...this.sources.map(source => source.name), ...this.bound];
    if (names.length > 0 && random.chance(0.75)) {
      const name = random.pick(names);
      return { text: name, at: point => point[name]! };
    }
    const x = randomNumber(random, -3, 3);
    return { text: number(x), at: () => x };
  }

  term(depth: number): Term {
    const { random } = this;
    if (depth <= 0 || random.chance(0.12)) return this.leaf();
    const kind = random.below(26);
    const x = this.term(depth - 1);
    const one = (name: string, f: (x: number) => number): Term => ({ text: `${name}(${x.text})`, at: p => f(x.at(p)) });
    switch (kind) {
      case 0:
      case 1:
      case 2: {
        const y = this.term(depth - 1);
        const op = random.pick(['+', '-', '*'] as const);
        return {
          text: `(${x.text} ${op} ${y.text})`,
          at: p => (op === '+' ? x.at(p) + y.at(p) : op === '-' ? x.at(p) - y.at(p) : x.at(p) * y.at(p)),
        };
      }
      case 3: {
        const y = this.term(depth - 1);
        return { text: `(${x.text} / ${y.text})`, at: p => (y.at(p) === 0 ? NaN : x.at(p) / y.at(p)) };
      }
      case 4: {
        const n = random.pick([2, 3, 4, -1, -2, 0.5, 1.5]);
        return {
          text: `(${x.text})^(${number(n)})`,
          at: p => {
            const v = x.at(p);
            return (v < 0 && !Number.isInteger(n)) || (v === 0 && n < 0) ? NaN : v ** n;
          },
        };
      }
      case 5:
        return { text: `sqrt(abs(${x.text}))`, at: p => Math.sqrt(Math.abs(x.at(p))) };
      case 6:
        return one('sqrt', v => (v < 0 ? NaN : Math.sqrt(v)));
      case 7:
        return one('cbrt', Math.cbrt);
      case 8:
        return one('abs', Math.abs);
      case 9:
      case 10: {
        const y = this.term(depth - 1);
        const name = random.pick(['min', 'max'] as const);
        return { text: `${name}(${x.text}, ${y.text})`, at: p => Math[name](x.at(p), y.at(p)) };
      }
      case 11:
        return { text: `exp(min(${x.text}, 4))`, at: p => Math.exp(Math.min(x.at(p), 4)) };
      case 12:
        return { text: `ln(1 + abs(${x.text}))`, at: p => Math.log(1 + Math.abs(x.at(p))) };
      case 13:
        return one('ln', v => (v <= 0 ? NaN : Math.log(v)));
      case 14:
        return random.chance(0.5) ? one('sin', Math.sin) : one('cos', Math.cos);
      case 15:
        return random.chance(0.5) ? one('tan', Math.tan) : one('atan', Math.atan);
      case 16: {
        const y = this.term(depth - 1);
        return { text: `atan2(${x.text}, ${y.text})`, at: p => Math.atan2(x.at(p) + 0, y.at(p)) };
      }
      case 17:
        return random.chance(0.5) ? one('floor', Math.floor) : { text: `sign(${x.text})`, at: p => Math.sign(x.at(p)) };
      case 18: {
        const c = this.condition(depth - 1);
        const y = this.term(depth - 1);
        return {
          text: `(if ${c.text} then ${x.text} else ${y.text})`,
          at: p => {
            const holds = c.at(p);
            return holds !== holds ? NaN : holds >= 0 ? x.at(p) : y.at(p);
          },
        };
      }
      case 19:
      case 20: {
        if (this.tables.length === 0) return x;
        const table = random.pick(this.tables);
        if (table.inputs === 1) return { text: `${table.name}(${x.text})`, at: p => table.at(x.at(p), 0) };
        const y = this.term(depth - 1);
        return { text: `${table.name}(${x.text}, ${y.text})`, at: p => table.at(x.at(p), y.at(p)) };
      }
      case 21: {
        // A load that grows with k against something that holds without it.
        const k = `k${++this.unknowns}`;
        const s = random.between(0.1, 0.9).toPrecision(2);
        const size = (p: Point): number => 0.5 + Math.abs(x.at(p));
        const y = this.term(depth - 1);
        const limit = (p: Point): number => 1 + Math.abs(y.at(p));
        return {
          text: `reserve(${k}: ${k} * (0.5 + abs(${x.text})) + ${s} * ${k}^2 <= 1 + abs(${y.text}))`,
          at: p => {
            const [a, b, c] = [Number(s), size(p), -limit(p)];
            return (-b + Math.sqrt(b * b - 4 * a * c)) / (2 * a);
          },
        };
      }
      case 22: {
        // z + z³/9 = x has one root.
        const z = `z${++this.unknowns}`;
        return {
          text: `root(${z} in -200 .. 200: ${z} + ${z}^3 / 9 - max(-1000, min(1000, ${x.text})))`,
          at: p => cubic(Math.max(-1000, Math.min(1000, x.at(p)))),
        };
      }
      case 23: {
        const name = random.pick(['low', 'high', 'nominal'] as const);
        const source = this.sources.length > 0 ? random.pick(this.sources) : null;
        if (!source) return x;
        const share = name === 'low' ? -1 : name === 'high' ? 1 : 0;
        return { text: `${name}(${source.name})`, at: () => source.place(share) };
      }
      case 24:
        return this.fold(depth);
      default: {
        const y = this.term(depth - 1);
        return {
          text: `sqrt((${x.text})^2 + (${y.text})^2)`,
          at: p => Math.sqrt(x.at(p) ** 2 + y.at(p) ** 2),
        };
      }
    }
  }

  /** The largest of a curve over a range: a parabola, so that the answer is known. */
  private fold(depth: number): Term {
    const { random } = this;
    const T = `T${++this.unknowns}`;
    const [low, high] = ascending(random, -3, 3, 2) as [number, number];
    const x = this.term(Math.min(depth - 1, 1));
    const most = random.chance(0.5);
    // ±(T − x)² / 4 over [low, high].
    const centre = (p: Point): number => Math.max(-5, Math.min(5, x.at(p)));
    const inside = (p: Point): number => Math.min(high, Math.max(low, centre(p)));
    const text = `(${T} - max(-5, min(5, ${x.text})))^2 / 4`;
    return most
      ? { text: `max(for ${T} in knots(${low} .. ${high}): 0 - ${text})`, at: p => -((inside(p) - centre(p)) ** 2) / 4 }
      : { text: `min(for ${T} in knots(${low} .. ${high}): ${text})`, at: p => (inside(p) - centre(p)) ** 2 / 4 };
  }

  /** Its number is at least zero where it holds. */
  condition(depth: number): Term {
    const { random } = this;
    const kind = random.below(6);
    if (depth > 0 && kind === 0) {
      const [x, y] = [this.condition(depth - 1), this.condition(depth - 1)];
      const op = random.pick(['and', 'or'] as const);
      return {
        text: `(${x.text} ${op} ${y.text})`,
        at: p => (op === 'and' ? Math.min(x.at(p), y.at(p)) : Math.max(x.at(p), y.at(p))),
      };
    }
    if (depth > 0 && kind === 1) {
      const x = this.condition(depth - 1);
      return { text: `(not ${x.text})`, at: p => (x.at(p) === 0 ? -1e-300 : -x.at(p)) };
    }
    const [x, y] = [this.term(depth - 1), this.term(depth - 1)];
    return { text: `(${x.text} <= ${y.text})`, at: p => y.at(p) - x.at(p) };
  }

  /** Names that a sweep binds, while `work` runs. */
  within<T>(names: readonly string[], work: () => T): T {
    this.bound = [...names];
    return work();
  }
}

function ascending(random: Random, low: number, high: number, count: number): number[] {
  const found = new Set<number>();
  while (found.size < count) found.add(Number(random.between(low, high).toPrecision(3)));
  return [...found].sort((x, y) => x - y);
}

function interpolate(kind: string, keys: readonly number[], x: number, at: (i: number) => number): number {
  const n = keys.length - 1;
  if (!(x >= keys[0]! && x <= keys[n]!)) return NaN;
  let i = 0;
  while (i < n - 1 && x >= keys[i + 1]!) i++;
  const [x0, x1] = [keys[i]!, keys[i + 1]!];
  if (kind === 'step') return x >= x1 ? at(i + 1) : at(i);
  const [y0, y1] = [at(i), at(i + 1)];
  if (kind === 'linear') return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  const share = Math.log(x / x0) / Math.log(x1 / x0);
  return kind === 'semilog' ? y0 + (y1 - y0) * share : Math.exp(Math.log(y0) + Math.log(y1 / y0) * share);
}

/** The root of z + z³/9 = c, by Newton from where it certainly converges. */
function cubic(c: number): number {
  if (c !== c) return NaN;
  let z = Math.sign(c) * Math.cbrt(9 * Math.abs(c)) || 0;
  for (let n = 0; n < 60; n++) z -= (z + z ** 3 / 9 - c) / (1 + z ** 2 / 3);
  return z;
}

export function randomModel(random: Random): Model {
  const wide = random.chance(0.5);
  const maker = new Maker(random, wide);
  const count = random.pick([1, 1, 2, 2, 3, 4, 6, 9]);
  for (let i = 0; i < count; i++) maker.addSource();
  for (let i = random.below(3); i > 0; i--) maker.addTable();
  const swept: { name: string; low: number; high: number }[] = [];
  if (random.chance(0.3)) {
    const [low, high] = ascending(random, -3, 4, 2) as [number, number];
    swept.push({ name: 's', low, high });
  }
  const body = maker.within(
    swept.map(({ name }) => name),
    () => maker.term(random.pick([1, 2, 2, 3, 3, 4])),
  );
  // A limit near what is reached, so that it passes as often as it fails.
  const reached = Array.from({ length: 30 }, () => body.at(pointOf(random, maker.sources, swept))).filter(
    Number.isFinite,
  );
  const most = reached.length > 0 ? Math.max(...reached) : 1;
  const limit = Number((most + random.between(-0.2, 0.6) * Math.max(1, Math.abs(most))).toPrecision(3)) || 1;
  const sweep = swept.length > 0 ? `for s in knots(${swept[0]!.low} .. ${swept[0]!.high}): ` : '';
  const asDistance = random.chance(0.3);
  const check = asDistance ? `${number(limit)} - ${body.text} >= 0` : `${body.text} <= ${number(limit)}`;
  const text = [
    'project P "P" { date = 2027-06-01 }',
    ...maker.sources.map(source => source.declaration),
    ...maker.tables.map(table => table.declaration),
    `requirement R-1 "It shall hold." { check ${sweep}${check}   verify by analysis }`,
  ].join('\n');
  return {
    text,
    sources: maker.sources,
    swept,
    margin: point => {
      const x = body.at(point);
      if (!Number.isFinite(x)) return NaN;
      return asDistance ? limit - x : ratio(x, limit);
    },
  };
}

/** The margin of a strength: docs/language.md, Margins. */
function ratio(applied: number, allowable: number): number {
  if (applied > 0 && allowable > 0) return allowable / applied - 1;
  if (applied < 0 && allowable < 0) return applied / allowable - 1;
  if (allowable > applied) return Infinity;
  if (allowable === applied) return 0;
  return -1;
}

function pointOf(random: Random, sources: readonly Source[], swept: Model['swept']): Record<string, number> {
  const point: Record<string, number> = {};
  for (const source of sources) {
    const where = random.next();
    point[source.name] = source.place(where < 0.25 ? -1 : where < 0.5 ? 1 : random.between(-1, 1));
  }
  for (const { name, low, high } of swept) {
    const where = random.next();
    point[name] = where < 0.2 ? low : where < 0.4 ? high : random.between(low, high);
  }
  return point;
}

export interface Outcome {
  readonly state: 'bracketed' | 'undetermined' | 'failing' | 'error';
  readonly failure: string | null;
}

/** Evaluates a model in the engine and holds what it tells against sampled points. */
export function holdAgainstPoints(model: Model, random: Random, points: number): Outcome {
  const project = open({ 'model.gus': model.text });
  const { evaluation, verification } = project.view;
  const entity = evaluation.namespace.labelled('R-1')[0];
  const result: CheckResult | undefined = entity && verification.checksOf(entity)[0];
  if (!result) return { state: 'error', failure: 'it has no check' };
  const failure = (what: string): Outcome => ({ state: 'error', failure: what });
  const governing = result.governing;
  let lowest = Infinity;
  let undefinedSomewhere = false;
  let worst: Point = {};
  for (let n = 0; n < points; n++) {
    const point = pointOf(random, model.sources, model.swept);
    const margin = model.margin(point);
    if (margin !== margin) undefinedSomewhere = true;
    else if (margin < lowest) [lowest, worst] = [margin, point];
  }
  if (result.passes === null) return { state: 'undetermined', failure: null };
  if (result.passes && undefinedSomewhere) return failure('passes though it has no value somewhere');
  const told = governing!.margin;
  const slack = 1e-7 * Math.max(1, Math.abs(told), Math.abs(lowest));
  if (result.passes && lowest < -slack)
    return failure(`passes with ${told}, though ${lowest} was found at ${JSON.stringify(worst)}`);
  if (Number.isFinite(told) && lowest < told - slack)
    return failure(`told ${told}, though ${lowest} was found at ${JSON.stringify(worst)}`);
  if (told === Infinity && lowest < 1e3)
    return failure(`told unbounded, though ${lowest} was found at ${JSON.stringify(worst)}`);
  const attained = attainedAt(model, governing!.at);
  if (attained !== null && governing!.bounded) {
    if (attained !== attained) return failure(`the point that is named has no value`);
    const size = Math.max(1, Math.abs(told));
    if (Number.isFinite(told) && told < 1e3 && attained - told > 0.0051 * size + slack)
      return failure(`told ${told}, but the point that is named gives ${attained}`);
    if (!result.passes && attained > slack) return failure(`fails, but the point that is named gives ${attained}`);
  }
  return { state: result.passes ? 'bracketed' : 'failing', failure: null };
}

/** By how much a share may be off at a jump: the engine's comparisons allow for rounding, by 1e-9 of their sides. */
const ROUNDING = 1e-7;

/**
 * The margin at the point that is named, by this evaluator, or right beside it; null where its sources are not all the
 * model's own.
 */
function attainedAt(model: Model, at: ReadonlyMap<string, number> | null): number | null {
  if (!at || model.swept.length > 0) return null;
  const shares = model.sources.map(({ name }) => {
    const key = [...at.keys()].find(candidate => candidate.includes(`:${name}:`));
    return key === undefined ? 0 : at.get(key)!;
  });
  const beside = shares.flatMap((share, i) => [shares.with(i, share - ROUNDING), shares.with(i, share + ROUNDING)]);
  const margins = [shares, ...beside].map(point =>
    model.margin(Object.fromEntries(model.sources.map(({ name, place }, i) => [name, place(point[i]!)]))),
  );
  return margins.reduce((least, margin) => (margin < least || least !== least ? margin : least));
}
