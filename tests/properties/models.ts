/**
 * Models at random: statements with their literals apart, so that the same model can be written in other units, names
 * and orders.
 */
import fc from 'fast-check';
import { buildReport } from '../../server/reports/build-report.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import type { Project } from '../../server/project/project.js';
import { fromSI, isUnit, parseUnit, toSI, type Unit } from '../../server/units/index.js';

/** A number with its unit; `difference` for what is no point of temperature. */
export interface Literal {
  readonly value: string;
  readonly unit: string;
  readonly difference: boolean;
}
/** Text with literals in it, and names between `⟨` and `⟩`. */
export type Statement = readonly (string | Literal)[];
/**
 * Statements of one block: its first line, what stands in it, and what follows that may be in any order among blocks.
 */
export interface Block {
  readonly head: string;
  readonly body: readonly (Statement | Block)[];
}
export interface Model {
  readonly blocks: readonly (Statement | Block)[];
}

export type Spell = (literal: Literal) => string;
export type Rename = (name: string) => string;

const asWritten: Spell = ({ value, unit }) => `${value} ${unit}`;
const sameName: Rename = name => name;

export function write(
  block: Statement | Block,
  spell: Spell = asWritten,
  rename: Rename = sameName,
  indent = '',
): string {
  const named = (text: string): string => text.replace(/⟨(.*?)⟩/g, (_, name: string) => rename(name));
  if (!('head' in block))
    return indent + block.map(part => (typeof part === 'string' ? named(part) : spell(part))).join('') + '\n';
  return `${indent}${named(block.head)} {\n${block.body.map(inner => write(inner, spell, rename, `${indent}  `)).join('')}${indent}}\n`;
}

// ---- units ----------------------------------------------------------------------------------------------------------

/** Units that say the same, by the unit they may replace. */
const ALTERNATIVES: readonly (readonly string[])[] = [
  ['mm', 'm', 'in', 'µm', 'ft', 'cm', 'mil'],
  ['N', 'kN', 'lbf', 'MN', 'kgf'],
  ['kg', 'g', 'lbm', 'slug', 't'],
  ['MPa', 'Pa', 'ksi', 'psi', 'GPa', 'N/mm^2'],
  ['g0', 'm/s^2', 'ft/s^2', 'mm/s^2'],
  ['g/cm^3', 'kg/m^3', 'lbm/in^3'],
  ['%', 'ppm'],
  ['Hz', 'kHz', '1/s', 'rpm'].slice(0, 3),
  ['1/K', '1/degF', '1e-6'].slice(0, 2),
];
const POINTS = ['degC', 'degF'];
const DIFFERENCES = ['K', 'dC', 'dF'];

function unit(text: string): Unit {
  const parsed = parseUnit(text);
  if (!isUnit(parsed)) throw new Error(parsed.message);
  return parsed;
}

/** The same quantity in one of its other units, to all digits. */
export function respell(choose: (count: number) => number): Spell {
  return literal => {
    const list =
      POINTS.includes(literal.unit) && !literal.difference
        ? POINTS
        : DIFFERENCES.includes(literal.unit)
          ? DIFFERENCES
          : ALTERNATIVES.find(units => units.includes(literal.unit));
    if (!list) return asWritten(literal);
    const next = unit(list[choose(list.length)]!);
    const si = toSI(unit(literal.unit), literal.value, { difference: literal.difference });
    return `${fromSI(next, si, { difference: literal.difference })} ${next.symbol}`;
  };
}

// ---- models ---------------------------------------------------------------------------------------------------------

const quantity = (value: number, unitText: string, digits = 2): Literal => ({
  value: value.toFixed(digits),
  unit: unitText,
  difference: false,
});
const number = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: Math.round(min * 100), max: Math.round(max * 100) }).map(n => n / 100);

const material = (name: string): fc.Arbitrary<Block> =>
  fc.tuple(number(1, 8), number(100, 500), number(0.5, 1), number(0.3, 1)).map(([density, strength, hot, cold]) => ({
    head: `material ⟨${name}⟩ "Material"`,
    body: [
      ['density = ', quantity(density, 'g/cm^3')],
      ['class = metal'],
      [
        'yield = [',
        quantity(-55, 'degC'),
        ' -> ',
        quantity(strength * cold, 'MPa'),
        ', ',
        quantity(23, 'degC'),
        ' -> ',
        quantity(strength, 'MPa'),
        ', ',
        quantity(85, 'degC'),
        ' -> ',
        quantity(strength * hot, 'MPa'),
        '] basis A source "sheet"',
      ],
    ],
  }));

const load = (name: string): fc.Arbitrary<Block> =>
  fc
    .tuple(number(-9, 0), number(1, 12), number(0, 5), number(-50, 20), number(21, 80))
    .map(([down, up, lateral, cold, hot]) => ({
      head: `load ⟨${name}⟩ "Load"`,
      body: [
        ['axial = ', quantity(down, 'g0'), ' .. ', quantity(up, 'g0')],
        ['lateral = ', quantity(lateral, 'g0'), ' any'],
        ['temperature = ', quantity(cold, 'degC'), ' .. ', quantity(hot, 'degC')],
        ['level = limit'],
      ],
    }));

const CHECKS: readonly string[] = [
  'check yield for L in corners(⟨LoadA⟩), T in knots(L.temperature): 1.25 * ⟨stress⟩(L) <= material.yield(T)',
  'check yield for L in corners([⟨LoadA⟩, ⟨LoadB⟩]): 1.25 * ⟨carried⟩ * ⟨span⟩ * abs(L.lateral) / (⟨width⟩ * ⟨t⟩^2) <= material.yield(⟨room⟩)',
  'check mass: mass <= ⟨cap⟩',
  'check slip for L in corners(⟨LoadB⟩): reserve(k: k * ⟨carried⟩ * abs(L.axial) + ⟨preload⟩ <= 3 * ⟨preload⟩) >= 1',
  'check thickness: low(⟨t⟩) >= 0.2 * ⟨t_min⟩ and high(⟨t⟩) <= 9 * ⟨t_min⟩',
  'check size: max(⟨width⟩, ⟨span⟩) <= 40 * ⟨t_min⟩',
  'check sum: rss(⟨width⟩, ⟨span⟩, ⟨t⟩) <= 50 * ⟨t_min⟩',
];

const part = (name: string): fc.Arbitrary<Block> =>
  fc
    .record({
      width: number(5, 60),
      t: number(1, 9),
      tolerance: number(0, 0.4),
      span: number(20, 200),
      carried: number(0.1, 9),
      cap: number(0.05, 3),
      made: fc.constantFrom('MaterialA', 'MaterialB'),
      checks: fc.uniqueArray(fc.nat(CHECKS.length - 1), { minLength: 1, maxLength: 4 }),
      tbc: fc.boolean(),
    })
    .map(({ width, t, tolerance, span, carried, cap, made, checks, tbc }) => ({
      head: `part ⟨${name}⟩ "Part"`,
      body: [
        [`material = ⟨${made}⟩`],
        ['⟨width⟩ = ', quantity(width, 'mm')],
        ['⟨t⟩ = ', quantity(t, 'mm'), ' ± ', quantity(tolerance, 'mm')],
        ['⟨span⟩ = ', quantity(span, 'mm')],
        ['⟨carried⟩ = ', quantity(carried, 'kg'), tbc ? ' tbc' : ''],
        ['⟨cap⟩ = ', quantity(cap, 'kg')],
        ['mass = material.density * ⟨width⟩ * ⟨t⟩ * ⟨span⟩ maturity ⟨calculated⟩'],
        ['growth = ⟨Growth⟩'],
        ['let ⟨stress⟩(L) = ⟨carried⟩ * abs(L.axial) * ⟨span⟩ / 8 * 6 / (⟨width⟩ * ⟨t⟩^2)'],
        ...checks.map((check, i): Block => ({
          head: `requirement ${name}-${i} "It shall hold."`,
          body: [[CHECKS[check]!], ['verify by analysis']],
        })),
      ],
    }));

/** Two materials, two loads, a few values and up to four parts with their requirements. */
export const model: fc.Arbitrary<Model> = fc
  .tuple(
    material('MaterialA'),
    material('MaterialB'),
    load('LoadA'),
    load('LoadB'),
    number(1, 5),
    number(0.1, 9),
    fc
      .integer({ min: 1, max: 4 })
      .chain(count => fc.tuple(...Array.from({ length: count }, (_, i) => part(`Part${i + 1}`)))),
  )
  .map(([a, b, c, d, thickness, preload, parts]) => ({
    blocks: [
      { head: 'project ⟨Random⟩ "Random"', body: [['date = 2027-01-01']] },
      { head: 'growth ⟨Growth⟩', body: [['⟨calculated⟩ = ', quantity(10, '%')]] },
      a,
      b,
      c,
      d,
      ['let ⟨t_min⟩ = ', quantity(thickness, 'mm')],
      ['let ⟨preload⟩ = ', quantity(preload, 'kN')],
      ['let ⟨room⟩ = ', quantity(23, 'degC')],
      ...parts,
    ],
  }));

export function textOf({ blocks }: Model, spell?: Spell, rename?: Rename): string {
  return blocks.map(block => write(block, spell, rename)).join('');
}

// ---- comparing ------------------------------------------------------------------------------------------------------

export interface Outcomes {
  readonly [label: string]: { readonly status: string; readonly margins: readonly (number | string)[] };
}

/** Statuses and margins by label, independent of where things stand. */
export function outcomesOf(project: Project): Outcomes {
  return Object.fromEntries(
    reportOf(project)
      .requirements.map(requirement => [
        requirement.label,
        {
          status: requirement.status,
          margins: requirement.checks.map(check =>
            check.margin === null
              ? String(check.marginKind)
              : check.marginKind === 'distance'
                ? `${check.marginKind} ${check.passes}`
                : check.margin,
          ),
        },
      ])
      .sort(([x], [y]) => (x! < y! ? -1 : 1)),
  );
}

export function reportOf(project: Project): CheckReport {
  return buildReport(project, { version: 'test', values: [], rows: true });
}

/** Margins are alike to this fraction of the ratio they came from. */
const ALIKE = 1e-9;

/** Where two outcomes differ beyond rounding. */
export function differences(before: Outcomes, after: Outcomes): string[] {
  return [...new Set([...Object.keys(before), ...Object.keys(after)])].flatMap(label => {
    const [x, y] = [before[label], after[label]];
    if (!x || !y) return [`${label} is in one of them only`];
    const far = x.margins.some((margin, i) => {
      const other = y.margins[i];
      return typeof margin === 'number' && typeof other === 'number'
        ? Math.abs(margin - other) > ALIKE * (1 + Math.abs(margin))
        : margin !== other;
    });
    return x.status === y.status && !far ? [] : [`${label}: ${JSON.stringify(x)} and ${JSON.stringify(y)}`];
  });
}
