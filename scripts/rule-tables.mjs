// The grammar as tables, for what reads text that is broken: the places of each rule in which a token or another rule
// stands, and which place may come behind which.

/** The source of a TypeScript module with the rules of a grammar, and what `lookahead` knows of each. */
export function ruleTables(grammar, lookahead) {
  const rules = grammar.rules
    .filter(rule => rule.$type !== 'TerminalRule')
    .map(rule => ({
      name: rule.name,
      type: typeOf(rule),
      ...(rule.$type === 'InfixRule' && { infix: true }),
      firsts: kindsOf(lookahead.firsts.get(rule.name)),
      places: new Places(new Set(lookahead.rules.keys())).of(rule),
    }));
  const roles = new Set(
    rules.flatMap(({ places }) => places.flatMap(({ type, property }) => (property ? [`${type}.${property}`] : []))),
  );
  const quoted = [...roles].sort().map(role => `\n  | '${role}'`);
  const data = rules.map(rule => `  ${JSON.stringify(rule)},\n`).join('');
  return `import type { RuleTable } from '../rule-table.js';

/** What may stand in a node: its type, and the name of the property. */
export type Role =${quoted.join('')};

export const TABLES: readonly RuleTable[] = [
${data}];
`;
}

const typeOf = rule => rule.inferredType?.name ?? rule.returnType?.ref?.name ?? rule.name;
const calledBy = element => element.rule?.ref?.name ?? element.rule.$refText;
const kindsOf = sequences => [...new Set([...sequences].map(sequence => sequence.split(' ', 1)[0]))].filter(Boolean);

/** The places of one rule; the first stands for its beginning. */
class Places {
  places = [{ type: '', next: [], ends: false }];

  constructor(ruleNames) {
    this.ruleNames = ruleNames;
  }

  of(rule) {
    const { firsts, lasts } =
      rule.$type === 'InfixRule' ? this.infix(rule) : this.element(rule.definition, { type: typeOf(rule) });
    this.places[0].next.push(...firsts);
    for (const last of lasts) this.places[last].ends = true;
    return this.places;
  }

  /** Operands and operators in turn, however these bind. */
  infix(rule) {
    const type = rule.name;
    const operand = this.place({ rule: calledBy(rule.call), type, property: 'operands' });
    rule.operators.precedences.forEach(({ operators }, looseness) => {
      for (const { value } of operators) {
        const operator = this.place({ token: value, type, property: 'operator', looseness });
        this.link([operand], [operator]);
        this.link([operator], [operand]);
      }
    });
    return { firsts: [operand], lasts: [operand] };
  }

  place(what) {
    return this.places.push({ ...what, next: [], ends: false }) - 1;
  }

  link(from, to) {
    for (const each of from) {
      const { next } = this.places[each];
      next.push(...to.filter(place => !next.includes(place)));
    }
  }

  element(element, context) {
    const found = this.once(element, context);
    const { cardinality } = element;
    if (cardinality === '*' || cardinality === '+') this.link(found.lasts, found.firsts);
    return { ...found, nullable: found.nullable || cardinality === '?' || cardinality === '*' };
  }

  once(element, { type, property }) {
    switch (element.$type) {
      case 'Keyword':
      case 'RuleCall': {
        const name = element.$type === 'Keyword' ? element.value : calledBy(element);
        const kind = element.$type === 'RuleCall' && this.ruleNames.has(name) ? 'rule' : 'token';
        const place = this.place({ [kind]: name, type, property });
        return { firsts: [place], lasts: [place], nullable: false };
      }
      case 'Assignment':
        return this.element(element.terminal, { type, property: element.feature });
      case 'Alternatives': {
        const ways = element.elements.map(each => this.element(each, { type, property }));
        return {
          firsts: ways.flatMap(({ firsts }) => firsts),
          lasts: ways.flatMap(({ lasts }) => lasts),
          nullable: ways.some(({ nullable }) => nullable),
        };
      }
      case 'Group':
        return this.group(element, type);
      default:
        throw new Error(`The tables of the rules know no ${element.$type}.`);
    }
  }

  /** An action makes another node of what was read so far, once what stands behind it begins. */
  group({ elements }, ofRule) {
    let type = ofRule;
    let makes;
    const found = { firsts: [], lasts: [], nullable: true };
    for (const each of elements) {
      if (each.$type === 'Action') {
        type = each.inferredType?.name ?? each.type.ref.name;
        makes = { type, ...(each.feature && { property: each.feature }) };
        continue;
      }
      const part = this.element(each, { type });
      if (makes) for (const first of part.firsts) this.places[first].makes = makes;
      if (makes && part.nullable) throw new Error('Behind an action stands what may be left out.');
      makes = undefined;
      this.link(found.lasts, part.firsts);
      if (found.nullable) found.firsts.push(...part.firsts);
      found.lasts = part.nullable ? [...found.lasts, ...part.lasts] : part.lasts;
      found.nullable &&= part.nullable;
    }
    return found;
  }
}
