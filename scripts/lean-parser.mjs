// The lean parser, made from the grammar: recursive descent to the same tree as Langium's own parser, without a
// concrete syntax tree. It looks two tokens ahead. Where both a way in and a way past are possible even so, it tries
// the way in, and goes past where that fails or leads to what cannot follow.

/** Tokens looked at to choose a way. */
const AHEAD = 2;
const END = '<end>';
/** Rules whose depth is counted where the tree is lowered, which tells it better. */
const COUNTED_LATER = new Set(['Statement']);

/** The source of a TypeScript module with the class `LeanParser` for a grammar of Langium. */
export function leanParser(grammar, lookahead = lookaheadOf(grammar)) {
  const writer = new Writer(lookahead.rules, lookahead);
  return indented(writer.module());
}

export function lookaheadOf(grammar) {
  return new Lookahead(
    new Map(grammar.rules.filter(rule => rule.$type !== 'TerminalRule').map(rule => [rule.name, rule])),
  );
}

// ---- What may come first, and behind -------------------------------------------------------------------------------

/** Sequences of at most two tokens, as "A", "A B" or "" for nothing. */
class Lookahead {
  firsts = new Map();
  follows = new Map();

  constructor(rules) {
    this.rules = rules;
    for (const name of rules.keys()) {
      this.firsts.set(name, new Set());
      this.follows.set(name, new Set());
    }
    untilStable(this.firsts, () => {
      for (const [name, rule] of rules) addAll(this.firsts.get(name), this.ofRule(rule));
    });
    const entry = [...rules.values()].find(rule => rule.entry);
    this.follows.get(entry.name).add(END);
    untilStable(this.follows, () => {
      for (const [name, rule] of rules) this.spread(rule, this.follows.get(name));
    });
  }

  ofRule(rule) {
    return rule.$type === 'InfixRule'
      ? concat(
          this.firsts.get(called(rule.call)),
          withNothing(concat(operatorsOf(rule), this.firsts.get(called(rule.call)))),
        )
      : this.of(rule.definition);
  }

  /** What an element may begin with, by itself once or as often as it says. */
  of(element) {
    const once = this.once(element);
    switch (element.cardinality) {
      case '?':
        return withNothing(once);
      case '*':
        return withNothing(concat(once, withNothing(once)));
      case '+':
        return concat(once, withNothing(once));
      default:
        return once;
    }
  }

  once(element) {
    switch (element.$type) {
      case 'Keyword':
        return new Set([element.value]);
      case 'Action':
        return new Set(['']);
      case 'Assignment':
        return this.of(element.terminal);
      case 'RuleCall':
        return this.firsts.get(called(element)) ?? new Set([called(element)]);
      case 'Alternatives':
        return new Set(element.elements.flatMap(each => [...this.of(each)]));
      case 'Group':
        return element.elements.reduce((found, each) => concat(found, this.of(each)), new Set(['']));
      default:
        throw new Error(`The lean parser knows no ${element.$type}.`);
    }
  }

  /** Hands on what may follow a rule to the rules that it calls. */
  spread(rule, after) {
    if (rule.$type === 'InfixRule') {
      const operand = called(rule.call);
      addAll(
        this.follows.get(operand),
        concat(withNothing(concat(operatorsOf(rule), this.firsts.get(operand))), after),
      );
    } else this.walk(rule.definition, after);
  }

  walk(element, after) {
    const behind = this.behind(element, after);
    switch (element.$type) {
      case 'RuleCall':
        if (this.follows.has(called(element))) addAll(this.follows.get(called(element)), behind);
        return;
      case 'Assignment':
        return this.walk(element.terminal, behind);
      case 'Alternatives':
        for (const each of element.elements) this.walk(each, behind);
        return;
      case 'Group':
        element.elements.forEach((each, i) => this.walk(each, this.rest(element, i, behind)));
    }
  }

  /** What may follow one turn of an element that `after` follows. */
  behind(element, after) {
    const again = element.cardinality === '*' || element.cardinality === '+';
    return again ? concat(withNothing(this.once(element)), after) : after;
  }

  /** What may follow the part of number `i` of a group. */
  rest(group, i, after) {
    const parts = group.elements.slice(i + 1).map(each => this.of(each));
    return concat(
      parts.reduce((found, each) => concat(found, each), new Set([''])),
      after,
    );
  }
}

function untilStable(sets, step) {
  const size = () => [...sets.values()].reduce((sum, set) => sum + set.size, 0);
  for (let before = -1; before !== size();) {
    before = size();
    step();
  }
}

function addAll(set, more) {
  for (const each of more) set.add(each);
}

const withNothing = set => new Set([...set, '']);

/** Every sequence of one set with every one of another behind it, cut to what is looked at. */
function concat(first, second) {
  const found = new Set();
  for (const a of first) {
    const tokens = a === '' ? [] : a.split(' ');
    if (tokens.length >= AHEAD) found.add(a);
    else for (const b of second) found.add([...tokens, ...(b === '' ? [] : b.split(' '))].slice(0, AHEAD).join(' '));
  }
  return found;
}

const called = element => element.rule?.ref?.name ?? element.rule.$refText;
const operatorsOf = rule =>
  new Set(rule.operators.precedences.flatMap(({ operators }) => operators.map(({ value }) => value)));
const firstOf = sequence => sequence.split(' ', 1)[0];

// ---- The code ------------------------------------------------------------------------------------------------------

class Writer {
  sets = new Map();

  constructor(rules, lookahead) {
    this.rules = rules;
    this.lookahead = lookahead;
    this.deep = closingCircles(rules);
    this.features = featuresOf(rules);
  }

  module() {
    const methods = [...this.rules.values()].map(rule => this.method(rule));
    return `import { Descent, type Node } from '../descent.js';
import type * as ast from '../../generated/ast.js';

${[...this.sets].map(([value, name]) => `const ${name} = ${value};\n`).join('')}
export class LeanParser extends Descent {
${methods.join('\n')}}
`;
  }

  /** The name of a constant; those of one value are one. */
  constant(value) {
    if (!this.sets.has(value)) this.sets.set(value, `SET_${this.sets.size + 1}`);
    return this.sets.get(value);
  }

  oneOf(tokens) {
    return this.constant(`new Set<string | undefined>(${JSON.stringify([...tokens].sort())})`);
  }

  /** Code that tells whether the token `ahead` is one of some. */
  isOneOf(tokens, ahead = 0) {
    const here = `this.kinds[this.at${ahead === 0 ? '' : ` + ${ahead}`}]`;
    const [first, second, third] = tokens;
    if (third !== undefined) return `${this.oneOf(tokens)}.has(${here})`;
    return [first, ...(second === undefined ? [] : [second])].map(token => `${here} === '${token}'`).join(' || ');
  }

  method(rule) {
    const { name } = rule;
    if (rule.$type === 'InfixRule') return this.infix(rule);
    if (rule.dataType) return `  ${name}(): string {\n    return ${this.token(rule.definition)};\n  }\n`;
    const type = `ast.${typeOf(rule)}`;
    const body = this.rule(rule);
    if (!this.deep.has(name) || COUNTED_LATER.has(name)) return `  ${name}(): ${type} {\n${body}  }\n`;
    return `  ${name}(): ${type} {
    this.deeper();
    const found = this.${name}Once();
    this.depth--;
    return found;
  }

  private ${name}Once(): ${type} {
${body}  }
`;
  }

  /** Operators from the tightest to the loosest, all of them left-associative. */
  infix(rule) {
    const { name } = rule;
    const { precedences } = rule.operators;
    const ranks = precedences.flatMap(({ operators }, i) =>
      operators.map(({ value }) => [value, precedences.length - i]),
    );
    const constant = this.constant(`new Map<string | undefined, number>(${JSON.stringify(ranks)})`);
    return `  ${name}(least = 1): ast.Expression {
    const start = this.at;
    let left: ast.Expression = this.${called(rule.call)}();
    for (;;) {
      const rank = ${constant}.get(this.kinds[this.at]);
      if (rank === undefined || rank < least) return left;
      const operator = this.kinds[this.at++];
      const right = ${precedences.length === 1 ? `this.${called(rule.call)}()` : `this.${name}(rank + 1)`};
      left = this.finish({ $type: '${name}', left, operator, right }, start);
    }
  }
`;
  }

  rule(rule) {
    const after = this.lookahead.follows.get(rule.name);
    const type = typeOf(rule);
    const branch = (element, behind) => this.branch(element, behind, rule, type);
    const { definition } = rule;
    const head = '    const start = this.at;\n';
    if (definition.$type !== 'Alternatives' || definition.cardinality) {
      const body = branch(definition, after);
      return (body.includes('start') ? head : '') + body;
    }
    const body = this.choice(definition.elements, after, branch, 'return this.giveUp();');
    return (body.includes('start') ? head : '') + body;
  }

  /** One way through a rule, to its end. */
  branch(element, after, rule, type) {
    const [first] = element.$type === 'Group' && !element.cardinality ? element.elements : [element];
    if (isRuleCall(first, this.rules)) {
      if (element === first) return `    return this.${called(first)}();\n`;
      const rest = { ...element, elements: element.elements.slice(1) };
      return `    let node = this.${called(first)}() as unknown as Node;\n${this.element(rest, after)}    return node as unknown as ast.${type};\n`;
    }
    const begins = first.$type === 'Action' ? actionType(first) : rule.name === type ? type : typeOf(rule);
    const rest = first.$type === 'Action' ? { ...element, elements: element.elements.slice(1) } : element;
    return `    const node: Node = { ${this.blank(begins)} };\n${this.element(rest, after)}    return this.finish(node, start);\n`;
  }

  /** A new node of a type, with its lists and truths as they are where nothing is said. */
  blank(type, wraps = '') {
    const features = [...(this.features.get(type) ?? [])];
    return [
      `$type: '${type}'`,
      ...(wraps ? [`${wraps}: node`] : []),
      ...features.map(([feature, operator]) => `${feature}: ${operator === '+=' ? '[]' : 'false'}`),
    ].join(', ');
  }

  element(element, after) {
    const behind = this.lookahead.behind(element, after);
    const { cardinality } = element;
    const code = this.once(element, behind);
    if (!cardinality) return code;
    const enter = concat(this.lookahead.once(element), behind);
    const condition = this.condition(enter, after);
    const body = this.tried(element, enter, after, behind, code);
    if (cardinality === '?') return `if (${condition}) {\n${body}}\n`;
    if (cardinality === '*') return `while (${condition}) {\n${body}}\n`;
    return `do {\n${body}} while (${condition});\n`;
  }

  /** Where two tokens may begin the way in as well as the way past, and rules are called on the way in, it is tried. */
  tried(element, enter, exit, behind, code) {
    const both = new Set([...enter].filter(sequence => exit.has(sequence)));
    const callsRules = /this\.[A-Z]/.test(code);
    const rewrites = code.includes('node = ');
    if (both.size === 0 || !callsRules || rewrites) return code;
    const follow = this.oneOf(new Set([...behind].map(firstOf)));
    const trial = `this.attempt(node, ${follow}, () => {\n${code}})`;
    const attempt = element.cardinality === '?' ? `${trial};\n` : `const found = ${trial};\nif (!found) break;\n`;
    const doubtful = this.condition(both, both);
    return doubtful === this.condition(enter, exit) ? attempt : `if (${doubtful}) {\n${attempt}} else {\n${code}}\n`;
  }

  /** Code that is true where the next two tokens may begin `enter`, and not only what else may stand there. */
  condition(enter, exit) {
    const sure = new Set();
    const parts = [];
    const outside = new Set([...exit].map(firstOf));
    const pairs = new Map();
    for (const sequence of enter) {
      const [first, second] = sequence.split(' ');
      if (!outside.has(first)) sure.add(first);
      else if (second !== undefined) pairs.set(first, (pairs.get(first) ?? new Set()).add(second));
    }
    if (sure.size > 0) parts.push(this.isOneOf(sure));
    for (const [seconds, firsts] of inverted(pairs))
      parts.push(`(${this.isOneOf(firsts)}) && (${this.isOneOf(JSON.parse(seconds), 1)})`);
    return parts.map(part => (parts.length > 1 ? `(${part})` : part)).join(' || ');
  }

  once(element, behind) {
    switch (element.$type) {
      case 'Keyword':
      case 'RuleCall':
        return `    ${this.token(element)};\n`;
      case 'Assignment':
        return this.assignment(element);
      case 'Action':
        return `    node = { ${this.blank(actionType(element), element.feature)} };\n`;
      case 'Group': {
        const code = element.elements
          .map((each, i) => this.element(each, this.lookahead.rest(element, i, behind)))
          .join('');
        return element.elements[0]?.$type === 'Action' ? `${code}    this.finish(node, start);\n` : code;
      }
      case 'Alternatives':
        return this.choice(element.elements, behind, (each, after) => this.element(each, after), 'this.giveUp();');
      default:
        throw new Error(`The lean parser can't write ${element.$type} here.`);
    }
  }

  assignment({ feature, operator, terminal }) {
    const value = this.value(terminal);
    if (operator === '?=') return `    ${value};\n    node['${feature}'] = true;\n`;
    if (operator === '+=') return `    (node['${feature}'] as unknown[]).push(${value});\n`;
    return `    node['${feature}'] = ${value};\n`;
  }

  value(terminal) {
    return isRuleCall(terminal, this.rules) ? `this.${called(terminal)}()` : this.token(terminal);
  }

  /** Code that reads one token of several, and gives its text. */
  token(terminal) {
    if (terminal.$type === 'Keyword') return `this.take('${terminal.value}')`;
    if (terminal.$type === 'RuleCall') return `this.take('${called(terminal)}')`;
    return `this.takeOneOf(${this.oneOf(this.lookahead.of(terminal))})`;
  }

  /** One of several ways, by the next token, and by the one behind where several begin alike. */
  choice(elements, behind, code, otherwise) {
    const ways = elements.map(element => ({ element, enter: concat(this.lookahead.of(element), behind) }));
    const byFirst = new Map();
    ways.forEach(({ enter }, way) => {
      for (const sequence of enter) {
        const [first, second = END] = sequence.split(' ');
        const seconds = byFirst.get(first) ?? new Map();
        byFirst.set(first, seconds.set(way, (seconds.get(way) ?? new Set()).add(second)));
      }
    });
    const keyed = new Map([...byFirst].map(([first, seconds]) => [first, this.cases(ways, seconds, behind, code)]));
    const cases = new Map();
    for (const [first, body] of keyed) cases.set(body, [...(cases.get(body) ?? []), first]);
    const text = [...cases]
      .map(
        ([body, firsts]) =>
          `${firsts.map(first => `      case '${first}':\n`).join('')}      {\n${body}${/return [^\n]*\n$/.test(body) ? '' : '      break;\n'}      }\n`,
      )
      .join('');
    return `    switch (this.kinds[this.at]) {\n${text}      default:\n        ${otherwise}\n    }\n`;
  }

  cases(ways, seconds, behind, code) {
    const entries = [...seconds];
    return entries
      .map(([way, tokens], i) => {
        const body = code(ways[way].element, behind);
        if (i === entries.length - 1) return i === 0 ? body : `{\n${body}    }\n`;
        const later = new Set(entries.slice(i + 1).flatMap(([, others]) => [...others]));
        const both = [...tokens].filter(token => later.has(token));
        if (both.length > 0) throw new Error(`Two ways begin alike for more than ${AHEAD} tokens: ${both.join(', ')}`);
        return `if (${this.isOneOf(tokens, 1)}) {\n${body}    } else `;
      })
      .join('');
  }
}

/** Keys that have the same set, by that set. */
function inverted(sets) {
  const found = new Map();
  for (const [key, set] of sets) {
    const text = JSON.stringify([...set].sort());
    found.set(text, [...(found.get(text) ?? []), key]);
  }
  return found;
}

function isRuleCall(element, rules) {
  return element.$type === 'RuleCall' && rules.has(called(element));
}

const actionType = action => action.inferredType?.name ?? action.type.ref.name;
const typeOf = rule => rule.inferredType?.name ?? rule.returnType?.ref?.name ?? rule.name;

/** Lists and truths of each type of node. */
function featuresOf(rules) {
  const found = new Map();
  const walk = (element, type) => {
    if (element.$type === 'Assignment' && element.operator !== '=') {
      const features = found.get(type) ?? new Map();
      found.set(type, features.set(element.feature, element.operator));
    }
    let current = type;
    for (const each of element.elements ?? []) {
      if (each.$type === 'Action') current = actionType(each);
      walk(each, element.$type === 'Alternatives' ? type : current);
    }
  };
  for (const rule of rules.values()) if (rule.definition) walk(rule.definition, typeOf(rule));
  return found;
}

/** Rules that a walk through the calls of rules comes back to: whatever nests does so through one of them. */
function closingCircles(rules) {
  const found = new Set();
  const open = new Set();
  const done = new Set();
  const callsOf = element =>
    element.$type === 'RuleCall'
      ? [called(element)]
      : [element.terminal, element.call, element.definition, ...(element.elements ?? [])]
          .filter(Boolean)
          .flatMap(callsOf);
  const visit = name => {
    if (open.has(name)) found.add(name);
    if (open.has(name) || done.has(name) || !rules.has(name)) return;
    open.add(name);
    for (const next of callsOf(rules.get(name))) visit(next);
    open.delete(name);
    done.add(name);
  };
  for (const name of rules.keys()) visit(name);
  return found;
}

/** A text whose lines have no indentation, with it. */
function indented(text) {
  let depth = 0;
  return text
    .split('\n')
    .map(line => {
      const code = line.trim().replaceAll(/'[^']*'|"[^"]*"/g, '');
      const closes = /^[})]/.test(code);
      const opens = /[{(]$/.test(code);
      if (closes) depth--;
      const result = '  '.repeat(depth) + line.trim();
      if (opens) depth++;
      return result.trimEnd();
    })
    .join('\n');
}
