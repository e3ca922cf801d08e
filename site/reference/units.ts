/** Dimensions and units, from their tables. */
import {
  dimensionName,
  isUnit,
  NAMED_QUANTITIES,
  parseUnit,
  tableSymbols,
  unitsOfDimension,
  type Unit,
} from '../../server/units/index.js';
import { UNIT_TABLES } from '../../server/units/tables/index.js';
import { ASCII_MICRO, PREFIXES, type Prefix } from '../../server/units/tables/prefixes.js';
import type { UnitRow } from '../../server/units/tables/row.js';
import { SLIPS } from '../../server/units/tables/slips.js';
import type { Entry, Page } from '../page.js';
import { anchor, code, link, markdownTable } from './table.js';

const UNITS = 'reference/units.html';
const DIMENSIONS = 'reference/dimensions.html';
const USUAL = 8;

export function dimensionsPage(): Page {
  const rows = NAMED_QUANTITIES.map(({ name, doc, dimension }) => [
    anchor(name) + code(name),
    doc,
    unitsOfDimension(dimension)
      .slice(0, USUAL)
      .map(({ symbol }) => code(symbol))
      .join(', '),
  ]);
  return {
    path: DIMENSIONS,
    source: 'docs/reference/dimensions.md',
    title: 'Dimensions',
    group: 'Reference',
    markdown: [
      '# Dimensions',
      'Names that may stand as the type of a parameter, a result or a `given` value. Several names may mean one dimension: `moment` and `energy` are both force × length. Products and quotients are written out: `force/length^2`, `pressure*length`.',
      'Dimensions are checked before anything is calculated. An angle is a number. `temperature` as a type is a point; a difference of two is [`temperature_difference`](expressions.md#type-temperature_difference).',
      markdownTable(['name', 'meaning', 'units'], rows),
    ].join('\n\n'),
    entries: NAMED_QUANTITIES.map(({ name, doc }) => ({
      name,
      kind: 'dimension',
      title: `${name.replaceAll('_', ' ')}, a dimension`,
      url: link(DIMENSIONS, name),
      text: doc,
    })),
  };
}

export function unitsPage(): Page {
  return {
    path: UNITS,
    source: 'docs/reference/units.md',
    title: 'Units',
    group: 'Reference',
    markdown: [
      '# Units',
      `A unit is one token without spaces behind its number: \`5 N/mm^2\`, \`3 g0^2/Hz\`, \`12 W/(m*K)\`. Capitals count. Factors are exact, so \`25.4 mm\` and \`1 in\` are the same number. ${tableSymbols().length} symbols with their prefixes; \`unit\` declares [more of your own](statements.md#statement-unit).`,
      '`degC` and `degF` alone are points of a scale, inside a compound unit differences.',
      ...UNIT_TABLES.map(
        ({ topic, rows }) =>
          `## ${topic}\n\n${markdownTable(['unit', 'name', 'is', 'with prefixes', 'also read'], rows.map(unitRow))}`,
      ),
      '## Prefixes',
      markdownTable(
        ['prefix', 'name', 'factor'],
        PREFIXES.map(({ symbol, name, exponent }) => [code(symbol), name, `10^${exponent}`]),
      ),
      '## What is no unit here {#slips}',
      'Spellings that are told with what is meant, instead of being guessed.',
      markdownTable(
        ['written', 'meant', 'why'],
        [...SLIPS].map(([written, { meant, why }]) => [
          code(written),
          meant.map(code).join(', '),
          why.replace(/\.$/, ''),
        ]),
      ),
    ].join('\n\n'),
    entries: [
      ...UNIT_TABLES.flatMap(({ rows }) => rows.flatMap(unitEntries)),
      ...[...SLIPS].map(([name, { meant, why }]) => ({
        name,
        kind: 'no unit',
        title: meant.length > 0 ? `${name} is no unit: ${meant.join(' or ')}` : `${name} is no unit`,
        url: link(UNITS, 'slips'),
        text: why,
      })),
    ],
  };
}

function unitRow(row: UnitRow): readonly string[] {
  const prefixed = prefixesOf(row).map(({ symbol }) => anchor(symbol + row.symbol) + code(symbol + row.symbol));
  return [
    anchor(row.symbol) + code(row.symbol),
    row.name,
    definition(row),
    prefixed.join(' '),
    (row.spellings ?? []).map(code).join(' '),
  ];
}

function definition({ is, pi, offset, symbol }: UnitRow): string {
  const dimension = dimensionName(unitOf(symbol).dimension);
  const amount = typeof is === 'string' ? `${code(is)}${pi ? ' × π' : ''}` : `unit of ${dimension}`;
  return offset ? `${amount}, counted from −${offset}` : amount;
}

function unitOf(symbol: string): Unit {
  const unit = parseUnit(symbol);
  if (!isUnit(unit)) throw new Error(`The unit ${symbol} of the tables can't be read.`);
  return unit;
}

function prefixesOf({ prefixes = '' }: UnitRow): readonly Prefix[] {
  return PREFIXES.filter(({ symbol }) => prefixes.split(' ').includes(symbol));
}

/** One for each symbol that is printed, with whatever else is read as it. */
function unitEntries(row: UnitRow): Entry[] {
  const { symbol, name, spellings = [] } = row;
  const entry = (start: string, starts: readonly string[], words: string): Entry => ({
    name: start + symbol,
    spellings: starts
      .flatMap(each => [symbol, ...spellings].map(end => each + end))
      .filter(each => each !== start + symbol),
    kind: 'unit',
    title: words,
    url: link(UNITS, start + symbol),
    text: dimensionName(unitOf(symbol).dimension),
  });
  return [
    entry('', [''], name),
    ...prefixesOf(row).map(prefix =>
      entry(
        prefix.symbol,
        prefix.name === 'micro' ? [prefix.symbol, ASCII_MICRO] : [prefix.symbol],
        prefix.name + name,
      ),
    ),
  ];
}
