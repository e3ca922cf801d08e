/**
 * Imprints of values: the same for every layout, place and spelling of units, another one where a number, a formula or
 * what is said of it is another. It tells what changed from what did not, and is no signature.
 */
import { contentHash, Rational } from '../base/index.js';
import { blockOfRows } from '../model/dependency.js';
import type { Expression } from '../model/expression.js';
import type { ValueItem } from '../model/declaration.js';
import { dimensionName, exactLiteral, isUnit, parseUnit, type UnitScope } from '../units/index.js';
import { spellKey } from './evaluation/cell-key.js';
import type { Cell } from './evaluation/cell.js';

const DIGITS = 12;
/** What says where a node stands, and nothing of what it is. */
const PLACES: ReadonlySet<string> = new Set(['id', 'nameId']);

/** Of a value with all that it reads; null where that is in a data file, whose rows it does not see. */
export function imprintOf(cell: Cell, units: UnitScope): string | null {
  const contents = new Map<Cell, string>();
  const begun = new Set<Cell>();
  // What many values read is looked at once, however deep it lies.
  for (const open = [cell]; open.length > 0;) {
    const at = open.at(-1)!;
    if (at.dependencies.some(each => blockOfRows(each) !== null)) return null;
    if (!begun.has(at)) {
      begun.add(at);
      open.push(...at.reads.filter(read => !begun.has(read)));
    } else {
      open.pop();
      if (!contents.has(at)) contents.set(at, contentHash(contentOf(at, contents, units)));
    }
  }
  return contents.get(cell)!.slice(-DIGITS);
}

/** What a cell is made of; a cell that needs itself is told by its key. */
function contentOf({ item, key, reads, calls }: Cell, contents: ReadonlyMap<Cell, string>, units: UnitScope): string {
  if (!item || !('value' in item)) return spellKey(key);
  const read = [...new Set(reads)].map(each => contents.get(each) ?? spellKey(each.key));
  return `(${[itemContent(item, units), ...read, ...calls.map(each => itemContent(each, units))].join(' ')})`;
}

/** What is said of it counts where it makes another kind of value, and not where it says where it was taken from. */
function itemContent(item: ValueItem, units: UnitScope): string {
  const { parameters, value, conditions, annotations } = item;
  const said = { basis: annotations.basis, maturity: annotations.maturity };
  return [parameters, value, conditions, said].map(each => spelled(each, units)).join(' ');
}

/** Data as one text, numbers by their exact value in the units of the SI. */
function spelled(data: unknown, units: UnitScope): string {
  if (Array.isArray(data)) return `[${data.map(each => spelled(each, units)).join(' ')}]`;
  if (typeof data !== 'object' || data === null) return JSON.stringify(data) ?? 'nothing';
  const node = data as Partial<Expression>;
  if (node.kind === 'number' && 'text' in node) return numberContent(node as Expression & { kind: 'number' }, units);
  const entries = Object.entries(data).filter(([name, value]) => value !== undefined && !PLACES.has(name));
  return `{${entries.map(([name, value]) => `${name} ${spelled(value, units)}`).join(' ')}}`;
}

function numberContent({ text, unitText }: Expression & { kind: 'number' }, units: UnitScope): string {
  if (unitText === null) return Rational.parse(text)?.toString() ?? text;
  const unit = parseUnit(unitText, units);
  if (!isUnit(unit)) return `${text} ${unitText}`;
  return `${exactLiteral(unit, text)} ${dimensionName(unit.dimension)}${unit.isPoint ? ' point' : ''}`;
}
