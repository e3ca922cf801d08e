import { here } from '../../fixes.js';
import { printQuantity } from '../../../engine/values/describe.js';
import { cellAt, factsOf } from '../../../engine/facts.js';
import type { RequirementResult } from '../../../engine/verification.js';
import type { Item, TextItem, ValueItem } from '../../../model/declaration.js';
import { walk } from '../../../model/expression.js';
import { isUnit, parseUnit, toSI, type Dimension } from '../../../units/index.js';
import { at, rule, type ConfigurationView } from '../../rule.js';
import { requirementData } from '../../requirement-data.js';
import { expressionsOf } from '../../text-search.js';
import { printKey, TITLE } from '../../../engine/evaluation/cell-key.js';

const NUMBER_WITH_UNIT = /(?<![\w.])(\d+(?:\.\d+)?)\s?([%°µA-Za-z][\w/^*%°µ²³]*)/g;

/**
 * Only numbers of a dimension that a check compares: those are likely meant as its limit. Each has to be a side of a
 * check, or what a check is calculated from; what is called a limit has to be a side.
 */
export default rule({
  code: 'statement-number',
  severity: 'warning',
  title: 'The statement names another number than the check',
  message:
    "{label} says {written}, but its check compares with {limit}{configuration}. Put the limit into the text in braces, so that they can't differ.",
  onRequirement(report, result, configuration): void {
    const { title } = result.entity;
    const written = title ? [...typedNumbers(title), ...filledNumbers(result, configuration)] : [];
    if (!title || written.length === 0) return;
    const compared = result.checks.flatMap(check =>
      check.governing?.leaf ? [{ ...check.governing, leaf: check.governing.leaf }] : [],
    );
    const reached = reachedBy(result, configuration);
    for (const number of written) {
      const same = compared.filter(({ leaf }) => leaf.left.dimension === number.dimension);
      const isSide = same.some(({ left, right }) => isNear(left, number.value) || isNear(right, number.value));
      if (same.length === 0 || isSide || (!number.isLimit && reached.has(number))) continue;
      const { leaf, right } = same[0]!;
      report({
        code: 'statement-number',
        place: at(title, 0),
        data: {
          ...requirementData(result, configuration),
          written: number.text,
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

interface StatedNumber {
  readonly text: string;
  readonly value: number;
  readonly dimension: Dimension;
  /** The item that fills it in; null where it is typed. */
  readonly item: ValueItem | null;
  readonly isLimit: boolean;
}

function typedNumbers({ segments }: TextItem): StatedNumber[] {
  return segments.flatMap(segment =>
    typeof segment !== 'string' || !/\d/.test(segment)
      ? []
      : [...segment.matchAll(NUMBER_WITH_UNIT)].flatMap(([text, digits, unitText]) => {
          const unit = parseUnit(unitText!);
          if (!isUnit(unit)) return [];
          return [{ text, value: toSI(unit, digits!), dimension: unit.dimension, item: null, isLimit: false }];
        }),
  );
}

/** Numbers that the text prints from values. */
function filledNumbers({ entity }: RequirementResult, { evaluation }: ConfigurationView): StatedNumber[] {
  const cell = evaluation.cell(entity, TITLE);
  if (!cell) return [];
  return [...(cell.demanded?.keys() ?? [])].flatMap(node => {
    const filled = cellAt(evaluation, node);
    if (filled?.value.kind !== 'quantity' || !Number.isFinite(evaluation.number(node))) return [];
    const { dimension, unit, point } = filled.value;
    const value = evaluation.number(node);
    const text = printQuantity(value, dimension, unit, point, null);
    return [{ text, value, dimension, item: filled.item as ValueItem, isLimit: /limit/i.test(printKey(filled.key)) }];
  });
}

/** What the checks of a requirement are calculated from: values, and numbers written in them or in the checks. */
function reachedBy(
  { checks }: RequirementResult,
  { evaluation }: ConfigurationView,
): { has(n: StatedNumber): boolean } {
  const items = new Set<Item>(
    checks.flatMap(({ cell, item }) => [
      item,
      ...cell.calls,
      ...factsOf(evaluation, cell).values.map(value => value.item),
    ]),
  );
  const numbers = [...items].flatMap(literalsOf);
  return {
    has: ({ item, value }) => (item ? items.has(item) : numbers.some(number => isNear(number, value))),
  };
}

function literalsOf(item: Item): number[] {
  const found: number[] = [];
  for (const expression of expressionsOf(item))
    walk(expression, node => {
      if (node.kind !== 'number' || node.unitText === null) return;
      const unit = parseUnit(node.unitText);
      if (isUnit(unit)) found.push(toSI(unit, node.text));
    });
  return found;
}

function isNear(x: number, y: number): boolean {
  return Math.abs(x - y) <= 1e-6 * Math.abs(y);
}
