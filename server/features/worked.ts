/** A check worked out where it governs: both sides, and every input with the value that it has there. */
import { conditionNodes, type CheckRow } from '../engine/elaboration/check.js';
import type { Detail } from '../engine/values/arena.js';
import type { Environment } from '../engine/elaboration/elaboration.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import {
  citationText,
  factorChain,
  printSides,
  printValue,
  workOut,
  type SourceText,
  type WorkedCalculation,
  type WorkedInput,
} from '../engine/explain.js';
import { factorsOf } from '../engine/facts.js';
import { caseName, type CheckResult, type RowResult } from '../engine/margin.js';
import { operandsAt } from '../engine/measured.js';
import { Op } from '../engine/operations/op.js';
import type { ConfigurationView } from '../findings/index.js';
import { spanOf, type CheckItem, type ValueItem } from '../model/declaration.js';
import type { Expression } from '../model/expression.js';
import type { Project } from '../project/project.js';

export interface WorkedSide {
  readonly side: 'left' | 'right';
  readonly expression: Expression;
  readonly formula: string;
  /** With numbers in place of names, and what it comes to; none where that can't be told outside of the check. */
  readonly steps: readonly string[];
}

/** An input as it is where the check governs. */
export interface GoverningInput extends WorkedInput {
  /** As it is written, where it varies: `3.7 mm ± 0.15 mm`. */
  readonly stated: string | null;
}

export interface WorkedCheck {
  readonly margin: string;
  readonly governing: string;
  readonly applied: string;
  readonly allowable: string;
  readonly sides: readonly WorkedSide[];
  readonly inputs: readonly GoverningInput[];
  readonly factors: readonly string[];
}

/** Null where no row governs. */
export function workedCheck(project: Project, view: ConfigurationView, check: CheckResult): WorkedCheck | null {
  const { governing } = check;
  if (!governing) return null;
  const { evaluation } = view;
  const text: SourceText = (file, start, end) => (project.text(file) ?? '').slice(start, end);
  const sides = sidesOf(evaluation, check, governing, text);
  const { applied, allowable, margin } = printSides(governing);
  return {
    margin,
    governing: caseName(evaluation, governing.row),
    applied,
    allowable,
    sides: sides.map(({ side, expression, worked, told }) => ({
      side,
      expression,
      formula: worked.formula,
      steps: told ? [...new Set([worked.numbers, worked.result])] : [],
    })),
    inputs: merged(
      sides.flatMap(({ worked, told }) => (told ? worked.inputs : [])),
      variedInputs(evaluation, check, governing, text),
    ),
    factors: factorChain(factorsOf(evaluation, governing.row)),
  };
}

interface Side {
  readonly side: WorkedSide['side'];
  readonly expression: Expression;
  readonly worked: WorkedCalculation;
  /** Whether it comes to the number that the check was judged by. */
  readonly told: boolean;
}

/** The sides of the comparison that governs, where they are calculated from something. */
function sidesOf(
  evaluation: Evaluation,
  { cell, item }: CheckResult,
  { row, at, leaf, left, right }: RowResult,
  text: SourceText,
): Side[] {
  if (!leaf || !row.condition) return [];
  const expressions = operandsAt({ item }, leaf.leftId, leaf.rightId);
  const values = [printValue(() => left, leaf.left), printValue(() => right, leaf.right)];
  const work = (): Side[] =>
    expressions.flatMap((expression, i) => {
      const worked = workOut(evaluation, cell, expression, () => rowEnvironment(item.binders, row), text);
      const side = i === 0 ? 'left' : 'right';
      return worked ? [{ side, expression, worked, told: worked.result === values[i] }] : [];
    });
  const { readings } = evaluation;
  const sides = at ? readings.at(readings.varying(conditionNodes(row.condition)), at, work) : work();
  return sides.filter(({ worked, told }) => !told || worked.inputs.length > 0);
}

function rowEnvironment(binders: CheckItem['binders'], row: CheckRow): Environment | null {
  const values = row.values[0] ?? [];
  return binders.reduce<Environment | null>(
    (parent, binder, i) => (values[i] ? { name: binder.name, value: values[i]!, parent } : parent),
    null,
  );
}

/** What has a tolerance on the way to the comparison that governs, and the value that it takes there. */
function variedInputs(
  evaluation: Evaluation,
  { cell }: CheckResult,
  { row, at, leaf }: RowResult,
  text: SourceText,
): GoverningInput[] {
  if (!at || !leaf) return [];
  const { readings, arena } = evaluation;
  const entries = readings.varying(row.condition ? conditionNodes(row.condition) : []);
  const below = new Set(readings.varying([leaf.left.node, leaf.right.node]));
  const sources = new Map<string, { entry: number; detail: Detail & { kind: 'source' } }>();
  for (const entry of entries) {
    const detail = arena.op[entry] === Op.Tolerance && below.has(entry) ? arena.details.get(entry) : undefined;
    if (detail?.kind === 'source' && detail.written) sources.set(detail.key, { entry, detail });
  }
  const from = cell.entity.part?.path;
  return readings.at(entries, at, () =>
    [...sources.values()].map(({ entry, detail: { name, written } }) => {
      const { place, quantity } = written!;
      const item = place.owner as ValueItem | CheckItem;
      const { file } = item.placement;
      const { start, end } = spanOf(item, place.id);
      return {
        name:
          item.kind === 'check'
            ? 'in the check'
            : from && name.startsWith(`${from}.`)
              ? name.slice(from.length + 1)
              : name,
        text: printValue(() => evaluation.number(entry), { kind: 'quantity', node: entry, ...quantity }),
        source: item.kind === 'check' ? null : citationText(evaluation, cell.entity, item.annotations),
        place: { file, ...spanOf(item, item.id) },
        stated: text(file, start, end).replace(/\s+/g, ' '),
      };
    }),
  );
}

/** One line an input, what varies first: with its tolerance, by the name that the check has for it. */
function merged(inputs: readonly WorkedInput[], varied: readonly GoverningInput[]): GoverningInput[] {
  const named = inputs.map(input => ({
    ...input,
    stated: varied.find(other => isSameInput(input, other))?.stated ?? null,
  }));
  const others = varied.filter(other => !inputs.some(input => isSameInput(input, other)));
  // Items that vary each on their own may stand at the same value.
  const all = [...named, ...others].sort((x, y) => Number(x.stated === null) - Number(y.stated === null));
  const byLine = new Map(all.map(input => [`${input.name}\n${input.text}`, input]));
  return [...byLine.values()];
}

function isSameInput(x: WorkedInput, y: WorkedInput): boolean {
  return x.text === y.text && x.place !== null && x.place.file === y.place?.file && x.place.start === y.place.start;
}
