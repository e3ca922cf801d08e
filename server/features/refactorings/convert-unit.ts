import { Rational } from '../../base/index.js';
import { expressionsOf } from '../../findings/text-search.js';
import { spanOf } from '../../model/declaration.js';
import { walk } from '../../model/expression.js';
import { fromSI, isUnit, parseDimension, parseUnit, toSI, unitsOfDimension, type Unit } from '../../units/index.js';
import { action, itemsAround, type Refactoring, type Span } from '../refactoring.js';

const MOST = 8;
/** Digits that come back from SI as they were written. */
const DIGITS = 15;
const SENSIBLE: readonly [number, number] = [1e-3, 1e6];

interface Literal extends Span {
  readonly digits: string;
  readonly unit: Unit;
}

/** `25.4 mm` ⇄ `1 in`: only where the number in SI stays the same to the bit. */
export const convertUnit: Refactoring = (context, start, end) => {
  const literal = literalAt(context, start, end);
  if (!literal) return [];
  const { digits, unit } = literal;
  const offers = unitsOfDimension(unit.dimension).flatMap(to => {
    if (to.symbol === unit.symbol || to.isPoint !== unit.isPoint || to.sense !== unit.sense) return [];
    const number = converted(digits, unit, to);
    return number === null ? [] : [{ number, to, exact: number.exact }];
  });
  offers.sort((x, y) => Number(y.exact) - Number(x.exact));
  return offers
    .slice(0, MOST)
    .map(({ number, to }) =>
      action(context, `Convert to ${number.text} ${to.symbol}`, 'refactor.rewrite', [
        { file: context.file, start: literal.start, end: literal.end, text: `${number.text} ${to.symbol}` },
      ]),
    );
};

function literalAt(context: Parameters<Refactoring>[0], from: number, to: number): Literal | null {
  let found: Literal | null = null;
  for (const { item } of itemsAround(context, from)) {
    for (const root of expressionsOf(item)) {
      walk(root, node => {
        if (found || node.kind !== 'number' || node.unitText === null) return;
        const { start, end } = spanOf(item, node.id);
        if (from < start || to > end) return;
        const unit = parseUnit(node.unitText, context.project.view.evaluation.units);
        const written = /^-?\s*(\d[\d.eE+-]*)\s*(\S+)$/.exec(context.text.slice(start, end));
        if (!written || written[2] !== node.unitText || !isUnit(unit)) return;
        // Behind ± and step a temperature is a difference, whatever its unit.
        if (unit.dimension === TEMPERATURE && /(?:±|\+\/-|step)\s*$/.test(context.text.slice(0, start))) return;
        found = { start, end, digits: node.text, unit };
      });
    }
  }
  return found;
}

const TEMPERATURE = parseDimension('temperature');

/** The number before another unit: exact where its decimals end, else the one that comes to the same number in SI. */
function converted(digits: string, from: Unit, to: Unit): { readonly text: string; readonly exact: boolean } | null {
  const si = toSI(from, digits);
  const text = exactDecimal(digits, from, to) ?? String(fromSI(to, si));
  const size = Math.abs(Number(text));
  if (toSI(to, text) !== si || (size !== 0 && (size < SENSIBLE[0] || size > SENSIBLE[1]))) return null;
  return { text, exact: exactDecimal(digits, from, to) !== null };
}

function exactDecimal(digits: string, from: Unit, to: Unit): string | null {
  const number = Rational.parse(digits);
  if (!number || !from.exact.isRational || !to.exact.isRational) return null;
  const si = number.add(from.offset ?? Rational.ZERO).mul(from.exact.radicand);
  return decimal(si.div(to.exact.radicand).sub(to.offset ?? Rational.ZERO));
}

/** A fraction as a decimal, where it has one of few enough digits. */
function decimal({ num, den }: Rational): string | null {
  let places = 0;
  let scaled = num;
  for (; scaled % den !== 0n; places++) {
    if (places === DIGITS) return null;
    scaled *= 10n;
  }
  const all = String(scaled < 0n ? -scaled / den : scaled / den).padStart(places + 1, '0');
  const text = `${num < 0n ? '-' : ''}${all.slice(0, all.length - places)}${places > 0 ? `.${all.slice(-places)}` : ''}`;
  return all.replace(/^0+|0+$/g, '').length <= DIGITS ? text : null;
}
