/** Why a value has no number, found where the cause stands, whether or not a check reads it. */
import { diagnose } from '../engine/diagnose.js';
import type { Cell } from '../engine/evaluation/cell.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import type { Found } from './rule.js';

/** Causes that are mistakes at their place; TBD and what only has a type are none. */
const MISTAKES: ReadonlySet<string> = new Set([
  'outside-table',
  'table-without-entry',
  'division-by-zero',
  'root-of-negative',
  'power-undefined',
  'logarithm-of-nonpositive',
  'distribution-missing',
  'no-root',
  'data-not-a-number',
]);

export function causesOf(evaluation: Evaluation, cell: Cell): Found[] {
  if (!cell.item || cell.plan) return [];
  for (const slot of cell.outputs) {
    if (Number.isFinite(evaluation.number(slot))) continue;
    const reason = diagnose(evaluation, slot);
    if (reason?.place && MISTAKES.has(reason.code))
      return [{ code: reason.code, place: reason.place, data: reason.data }];
  }
  return [];
}
