/** Whether tokens are a sentence of the grammar, by trying every way: slow, and free of any look ahead. */
import { GrammarAST } from 'langium';
import { GussetGrammar } from '../../server/syntax/generated/grammar.js';

type Ends = ReadonlySet<number>;

export function isSentence(kinds: readonly string[]): boolean {
  const rules = new Map(GussetGrammar().rules.map(rule => [rule.name, rule]));
  const known = new Map<string, Ends>();

  function ofRule(name: string, at: number): Ends {
    const rule: GrammarAST.AbstractRule | undefined = rules.get(name);
    if (!rule || GrammarAST.isTerminalRule(rule)) return token(name, at);
    const key = `${name} ${at}`;
    let found = known.get(key);
    if (!found) known.set(key, (found = GrammarAST.isInfixRule(rule) ? chain(rule, at) : of(rule.definition, at)));
    return found;
  }

  /** Operands with any operators between them: how they bind makes no difference here. */
  function chain(rule: GrammarAST.InfixRule, at: number): Ends {
    const operators = new Set(
      rule.operators.precedences.flatMap(({ operators }) => operators.map(({ value }) => value)),
    );
    const found = new Set<number>();
    const open = [...ofRule(rule.call.rule.$refText, at)];
    for (let end = open.pop(); end !== undefined; end = open.pop()) {
      if (found.has(end)) continue;
      found.add(end);
      if (operators.has(kinds[end]!)) open.push(...ofRule(rule.call.rule.$refText, end + 1));
    }
    return found;
  }

  const token = (name: string, at: number): Ends => new Set(kinds[at] === name ? [at + 1] : []);

  function of(element: GrammarAST.AbstractElement, at: number): Ends {
    const { cardinality } = element;
    if (!cardinality) return once(element, at);
    const found = new Set<number>(cardinality === '+' ? [] : [at]);
    const open = [...once(element, at)];
    for (let end = open.pop(); end !== undefined; end = open.pop()) {
      if (found.has(end)) continue;
      found.add(end);
      if (cardinality !== '?') open.push(...once(element, end));
    }
    return found;
  }

  function once(element: GrammarAST.AbstractElement, at: number): Ends {
    if (GrammarAST.isKeyword(element)) return token(element.value, at);
    if (GrammarAST.isRuleCall(element)) return ofRule(element.rule.$refText, at);
    if (GrammarAST.isAssignment(element)) return of(element.terminal, at);
    if (GrammarAST.isAction(element)) return new Set([at]);
    if (GrammarAST.isAlternatives(element)) return new Set(element.elements.flatMap(each => [...of(each, at)]));
    if (!GrammarAST.isGroup(element)) throw new Error(`The recognizer knows no ${element.$type}.`);
    return element.elements.reduce<Ends>(
      (ends, each) => new Set([...ends].flatMap(end => [...of(each, end)])),
      new Set([at]),
    );
  }

  return ofRule('Document', 0).has(kinds.length);
}
