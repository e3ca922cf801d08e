/** An expression as MathML, set as an engineer writes it: fractions, powers, roots, Greek letters, subscripts. */
import type { Argument, Expression } from '../../model/expression.js';
import { element, escapeXml } from '../plots/svg.js';

const GREEK: Readonly<Record<string, string>> = {
  alpha: 'α',
  beta: 'β',
  gamma: 'γ',
  delta: 'δ',
  epsilon: 'ε',
  zeta: 'ζ',
  eta: 'η',
  theta: 'θ',
  kappa: 'κ',
  lambda: 'λ',
  mu: 'μ',
  nu: 'ν',
  xi: 'ξ',
  pi: 'π',
  rho: 'ρ',
  sigma: 'σ',
  tau: 'τ',
  phi: 'φ',
  chi: 'χ',
  psi: 'ψ',
  omega: 'ω',
  Gamma: 'Γ',
  Delta: 'Δ',
  Theta: 'Θ',
  Lambda: 'Λ',
  Xi: 'Ξ',
  Pi: 'Π',
  Sigma: 'Σ',
  Phi: 'Φ',
  Psi: 'Ψ',
  Omega: 'Ω',
};
const OPERATORS: Readonly<Record<string, string>> = {
  '*': '⋅',
  '<=': '≤',
  '>=': '≥',
  '==': '=',
  '!=': '≠',
  '-': '−',
  '..': '…',
};

/** How tightly an operator binds; what binds less stands in brackets. */
const enum Binding {
  Or = 1,
  And,
  Comparison,
  Sum,
  Product,
  Unary,
  Power,
  Atom,
}
const BINDINGS: Readonly<Record<string, Binding>> = {
  or: Binding.Or,
  and: Binding.And,
  '+': Binding.Sum,
  '-': Binding.Sum,
  '*': Binding.Product,
  '/': Binding.Product,
  '^': Binding.Power,
  '..': Binding.Comparison,
};

/**
 * `name = expression` as a document of MathML; null where the expression is nothing that is set as a formula (texts,
 * tables, records).
 */
export function formulaMathML(name: string | null, expression: Expression): string | null {
  const body = mathml(expression, Binding.Or);
  return (
    body &&
    element(
      'math',
      { xmlns: 'http://www.w3.org/1998/Math/MathML', display: 'block' },
      row(...(name ? [symbol(name), operator('=')] : []), body),
    )
  );
}

/** The symbol of a name: `sigma_b` is σ with the index b; of a path its last name. */
export function symbol(name: string): string {
  const [base, ...index] = name.split('_').filter(part => part !== '');
  const letter = (part: string): string => element('mi', {}, escapeXml(GREEK[part] ?? part));
  if (!base) return letter(name);
  return index.length === 0
    ? letter(base)
    : element(
        'msub',
        {},
        letter(base),
        index.length === 1
          ? letter(index[0]!)
          : row(...index.flatMap((part, i) => (i === 0 ? [letter(part)] : [operator(','), letter(part)]))),
      );
}

const row = (...parts: readonly string[]): string => element('mrow', {}, ...parts);
const operator = (sign: string): string => element('mo', {}, escapeXml(OPERATORS[sign] ?? sign));
const word = (text: string): string => element('mtext', {}, escapeXml(text));
const brackets = (body: string): string => row(element('mo', {}, '('), body, element('mo', {}, ')'));
const number = (text: string): string => element('mn', {}, escapeXml(text.replace('-', '−')));
const withUnit = (body: string, unit: string | null): string =>
  unit ? row(body, element('mspace', { width: '0.2em' }), element('mtext', {}, escapeXml(unit))) : body;

function mathml(e: Expression, least: Binding): string | null {
  const bind = (own: Binding, body: string | null): string | null => body && (own < least ? brackets(body) : body);
  switch (e.kind) {
    case 'number':
      return withUnit(number(e.text), e.unitText);
    case 'name':
      return symbol(e.name);
    case 'label':
      return word(`#${e.label}`);
    case 'truth':
      return word(String(e.value));
    case 'member':
      return memberSymbol(e);
    case 'tbd':
      return word(`TBD${e.unitText ? ` ${e.unitText}` : ''}`);
    case 'unary': {
      const operand = mathml(e.operand, Binding.Unary);
      return operand && bind(Binding.Unary, row(e.operator === 'not' ? word('not ') : operator(e.operator), operand));
    }
    case 'binary':
      return binary(e, least);
    case 'chain': {
      const operands = all(e.operands, Binding.Sum);
      return (
        operands &&
        bind(
          Binding.Comparison,
          row(...operands.flatMap((operand, i) => (i === 0 ? [operand] : [operator(e.operators[i - 1]!), operand]))),
        )
      );
    }
    case 'conditional': {
      const parts = all([e.condition, e.yes, e.no], Binding.Or);
      return (
        parts && bind(Binding.Or, row(word('if '), parts[0]!, word(' then '), parts[1]!, word(' else '), parts[2]!))
      );
    }
    case 'call':
      return call(e.callee, e.arguments);
    case 'index': {
      const parts = all([e.receiver, e.index], Binding.Atom);
      return parts && element('msub', {}, parts[0]!, parts[1]!);
    }
    case 'conversion':
      return mathml(e.value, least);
    case 'group': {
      const items = all(e.items, Binding.Or);
      return items && brackets(listed(items));
    }
    case 'tolerance': {
      const parts = all([e.nominal, e.plus], Binding.Sum);
      return parts && bind(Binding.Sum, row(parts[0]!, operator('±'), parts[1]!));
    }
    default:
      return null;
  }
}

/** Of a path the last name; an axis or a component stands as an index of what it is of. */
function memberSymbol({ receiver, name }: Extract<Expression, { kind: 'member' }>): string {
  const whole = name.length > 1 ? null : receiver.kind === 'member' || receiver.kind === 'name' ? receiver.name : null;
  return whole ? element('msub', {}, element('mrow', {}, symbol(whole)), symbol(name)) : symbol(name);
}

function binary(
  { operator: sign, left, right }: Extract<Expression, { kind: 'binary' }>,
  least: Binding,
): string | null {
  const own = BINDINGS[sign] ?? Binding.Comparison;
  if (sign === '/') {
    const parts = all([left, right], Binding.Or);
    return parts && element('mfrac', {}, parts[0]!, parts[1]!);
  }
  if (sign === '^') {
    const parts = [mathml(left, Binding.Atom), mathml(right, Binding.Or)];
    if (!parts[0] || !parts[1]) return null;
    return element(
      'msup',
      {},
      left.kind === 'binary' && left.operator === '/' ? brackets(parts[0]) : parts[0],
      parts[1],
    );
  }
  const parts = [mathml(left, own), mathml(right, own === Binding.Sum || own === Binding.Product ? own + 1 : own)];
  if (!parts[0] || !parts[1]) return null;
  const body = row(parts[0], sign === 'and' || sign === 'or' ? word(` ${sign} `) : operator(sign), parts[1]);
  return own < least ? brackets(body) : body;
}

function call(callee: Expression, list: readonly Argument[]): string | null {
  const name = callee.kind === 'name' || callee.kind === 'member' ? callee.name : null;
  const values = list.map(argument =>
    argument.form === 'positional' || argument.form === 'named' ? mathml(argument.value, Binding.Or) : null,
  );
  if (name === 'reserve' && list.length === 1) {
    const inner = mathml(list[0]!.value, Binding.Or);
    return inner && row(word('reserve'), brackets(row(symbol(list[0]!.name ?? 'k'), operator(':'), inner)));
  }
  if (!name || values.some(value => value === null)) return null;
  const [first] = values as string[];
  if (name === 'sqrt' && values.length === 1) return element('msqrt', {}, first!);
  if (name === 'abs' && values.length === 1) return row(element('mo', {}, '|'), first!, element('mo', {}, '|'));
  const named = list.map((argument, i) =>
    argument.form === 'named' && argument.name ? row(symbol(argument.name), operator('='), values[i]!) : values[i]!,
  );
  return row(callee.kind === 'member' ? memberSymbol(callee) : symbol(name), brackets(listed(named)));
}

function all(expressions: readonly Expression[], least: Binding): string[] | null {
  const parts = expressions.map(expression => mathml(expression, least));
  return parts.every(part => part !== null) ? (parts as string[]) : null;
}

function listed(parts: readonly string[]): string {
  return row(...parts.flatMap((part, i) => (i === 0 ? [part] : [operator(','), part])));
}
