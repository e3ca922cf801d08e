/** Conditions that no longer hold, in words: which part of one, and the values behind it. */
import type { ConditionItem } from '../model/declaration.js';
import type { Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import { Builder } from './values/builder.js';
import { diagnose } from './diagnose.js';
import { Elaborator } from './elaboration/elaborate.js';
import type { CellKey } from './evaluation/cell-key.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { printValue } from './explain.js';
import { firstProblem } from './reasons.js';
import type { Reason } from './values/value.js';

/** Words for why a value is undetermined. */
export type Say = (reason: Reason) => string;

/** What of the condition of a block is false or can't be told: "Tray.t >= 2.4 mm, and Tray.t is 2.2 mm". */
export function brokenParts(
  evaluation: Evaluation,
  owner: Entity,
  key: CellKey,
  item: ConditionItem,
  say: Say,
): string[] {
  const cause = causeOf(evaluation, owner, key);
  if (cause) return [`${spell(item.condition)}, which can't be told: ${say(cause)}`];
  return evaluation.outside(() => {
    const elaborator = new Elaborator(evaluation.host, new Builder(evaluation.arena), item, owner);
    const read = (node: number): number => elaborator.builder.value(node);
    return conjuncts(item.condition).flatMap(part => {
      const truth = elaborator.expression(part, null);
      if (truth.kind === 'truth' && read(truth.node) === 1) return [];
      const values = operandsOf(part)
        .filter(operand => operand.kind !== 'number')
        .map(operand => `${spell(operand)} is ${printValue(read, elaborator.expression(operand, null))}`);
      return [[spell(part), values.join(', ')].filter(Boolean).join(', and ')];
    });
  });
}

/** Why nobody can tell; null where the condition is true or false. */
function causeOf(evaluation: Evaluation, owner: Entity, key: CellKey): Reason | null {
  const cell = evaluation.cell(owner, key);
  if (!cell || cell.value.kind === 'poison') return (cell && firstProblem(cell)) ?? UNREAD;
  return cell.value.kind === 'truth' ? diagnose(evaluation, cell.value.node) : null;
}

const UNREAD: Reason = { code: 'not-a-number', data: {}, place: null };

function conjuncts(condition: Expression): Expression[] {
  return condition.kind === 'binary' && condition.operator === 'and'
    ? [...conjuncts(condition.left), ...conjuncts(condition.right)]
    : [condition];
}

function operandsOf(part: Expression): readonly Expression[] {
  if (part.kind === 'chain') return part.operands;
  if (part.kind !== 'binary') return [];
  return part.operator === 'or' ? [part.left, part.right].flatMap(operandsOf) : [part.left, part.right];
}

/** An expression much as it is written. */
export function spell(e: Expression): string {
  switch (e.kind) {
    case 'number':
      return [e.text, e.unitText].filter(Boolean).join(' ');
    case 'name':
      return e.name;
    case 'label':
      return `#${e.label}`;
    case 'member':
      return `${spell(e.receiver)}.${e.name}`;
    case 'date':
      return e.text;
    case 'truth':
      return String(e.value);
    case 'text':
      return `"${e.segments.map(segment => (typeof segment === 'string' ? segment : '…')).join('')}"`;
    case 'unary':
      return `${e.operator}${e.operator === 'not' ? ' ' : ''}${spell(e.operand)}`;
    case 'binary':
      return `${spell(e.left)} ${e.operator} ${spell(e.right)}`;
    case 'chain':
      return e.operands.map((operand, i) => [spell(operand), e.operators[i]].filter(Boolean).join(' ')).join(' ');
    case 'call':
      return `${spell(e.callee)}(${e.arguments.map(argument => spell(argument.value)).join(', ')})`;
    default:
      return '…';
  }
}
