import { here } from '../fixes.js';
import { printQuantity } from '../../engine/describe.js';
import type { Declaration } from '../../model/declaration.js';
import { isUnit, parseUnit, toSI, type Dimension } from '../../units/index.js';
import { at, rule } from '../rule.js';
import { requirementData } from '../requirement-data.js';
import { walkDeclaration } from '../text-search.js';

const NUMBER_WITH_UNIT = /(?<![\w.])(\d+(?:\.\d+)?)\s?([%°µA-Za-z][\w/^*%°µ²³]*)/g;

/**
 * Only numbers of the dimension of a check, where neither a literal nor a side of the check is equal: those are likely
 * meant as its limit.
 */
export default rule({
  code: 'statement-number',
  severity: 'warning',
  title: 'The statement names another number than the check',
  message:
    "{label} says {written}, but its check compares with {limit}{configuration}. Put the limit into the text in braces, so that they can't differ.",
  onRequirement(report, result, configuration): void {
    const { title } = result.entity;
    const written = title?.segments.flatMap(segment => (typeof segment === 'string' ? numbersOf(segment) : [])) ?? [];
    if (!title || written.length === 0) return;
    const compared = result.checks.flatMap(check =>
      check.governing?.leaf ? [{ ...check.governing, leaf: check.governing.leaf }] : [],
    );
    for (const { text, value, dimension } of written) {
      const same = compared.filter(({ leaf }) => leaf.left.dimension === dimension);
      const known = [...same.flatMap(({ left, right }) => [left, right]), ...literalsOf(result.entity.declaration)];
      if (same.length === 0 || known.some(number => Math.abs(number - value) <= 1e-6 * Math.abs(value))) continue;
      const { leaf, right } = same[0]!;
      report({
        code: 'statement-number',
        place: at(title, 0),
        data: {
          ...requirementData(result, configuration),
          written: text,
          limit: printQuantity(right, leaf.right.dimension, leaf.right.unit, leaf.right.point, null),
        },
      });
    }
  },
  fix: ({ data }, text, { view, textAt }) => {
    const requirement = view.namespace.labelled(data['label']!)[0];
    for (const check of requirement?.checks ?? []) {
      const { condition } = check;
      if (condition.kind !== 'binary') continue;
      const limit = condition.right;
      const written = textAt({ owner: check, id: limit.id });
      if (limit.kind === 'name')
        return here(`Write {${limit.name}}`, text.replace(data['written']!, `{${limit.name}}`));
      if (limit.kind !== 'number' || limit.unitText === null || requirement!.values.has('limit')) continue;
      return {
        title: 'Name the limit of the check, and write it',
        edits: [
          { place: 'here', text: text.replace(data['written']!, '{limit}') },
          { place: { owner: check, id: limit.id }, text: 'limit' },
          { place: { inside: { owner: requirement!.declaration, id: 0 } }, text: `let limit = ${written}` },
        ],
      };
    }
    return null;
  },
});

function numbersOf(statement: string): { text: string; value: number; dimension: Dimension }[] {
  if (!/\d/.test(statement)) return [];
  return [...statement.matchAll(NUMBER_WITH_UNIT)].flatMap(([text, digits, unitText]) => {
    const unit = parseUnit(unitText!);
    return isUnit(unit) ? [{ text, value: toSI(unit, digits!), dimension: unit.dimension }] : [];
  });
}

function literalsOf(declaration: Declaration): number[] {
  const found: number[] = [];
  walkDeclaration(declaration, node => {
    if (node.kind !== 'number' || node.unitText === null) return;
    const unit = parseUnit(node.unitText);
    if (isUnit(unit)) found.push(toSI(unit, node.text));
  });
  return found;
}
