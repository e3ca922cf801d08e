/** Why a number is undetermined: follows NaN (or an overflow) back to the operation that made it. */
import { detailAs, type Detail } from './values/arena.js';
import { SlotOwner, Cell } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { Op } from './operations/op.js';
import { DataOwner } from './elaboration/rows.js';
import type { Place, Reason, TableInput } from './values/value.js';
import { printQuantity } from './values/describe.js';
import type { TableData } from './operations/table.js';
import { OPERATIONS } from './operations/operations.js';

/** Null where the number is determined. */
export function diagnose(evaluation: Evaluation, node: number): Reason | null {
  const { arena } = evaluation;
  let at = node;
  let cell: Cell | null = null;
  for (let steps = 0; steps < 100_000; steps++) {
    const value = arena.values[at]!;
    if (Number.isFinite(value)) return null;
    const op = arena.opAt(at);
    const detail = arena.details.get(at);
    if (op === Op.Undetermined) {
      const reason = detailAs(detail, 'reason');
      return { code: reason.code, data: reason.data, place: reason.place as Place };
    }
    if (op === Op.Slot) {
      const owner = detail?.kind === 'slot' ? detail.owner : undefined;
      if (owner instanceof DataOwner)
        return {
          code: 'data-not-a-number',
          data: { name: owner.rows.source.name, column: owner.column, row: String(owner.row + 1) },
          place: { owner: owner.rows.source, id: 2 },
        };
      cell = owner instanceof SlotOwner ? owner.cell : owner instanceof Cell ? owner : cell;
      at = arena.a[at]!;
      continue;
    }
    const bad = arena
      .operands(at)
      .find(operand => !Number.isFinite(arena.values[operand]!) && isReached(evaluation, at, operand));
    if (bad !== undefined) {
      at = bad;
      continue;
    }
    return reasonOf(evaluation, at, op, detail, cell);
  }
  return { code: 'not-a-number', data: {}, place: null };
}

/** A branch that was not taken explains nothing. */
function isReached(evaluation: Evaluation, at: number, operand: number): boolean {
  const { arena } = evaluation;
  if (arena.op[at] !== Op.Select) return true;
  const condition = arena.values[arena.a[at]!]!;
  if (condition !== condition) return operand === arena.a[at];
  return operand === (condition !== 0 ? arena.b[at] : arena.c[at]);
}

function reasonOf(evaluation: Evaluation, at: number, op: Op, detail: Detail | undefined, cell: Cell | null): Reason {
  const { arena } = evaluation;
  const place: Place | null = cell?.item ? { owner: cell.item, id: 'id' in cell.item ? cell.item.id : 0 } : null;
  if (arena.values[at] === Infinity || arena.values[at] === -Infinity)
    return { code: 'number-out-of-range', data: {}, place };
  if (detail?.kind === 'table') return outside(evaluation, at, detail);
  return { code: OPERATIONS[op].failure ?? 'not-a-number', data: cellData(cell), place };
}

function cellData(cell: Cell | null): Record<string, string> {
  return { where: cell ? cell.path : 'this check' };
}

/** A table asked beyond what it holds: which table, at what, and what it covers. */
function outside(evaluation: Evaluation, at: number, detail: Detail & { kind: 'table' }): Reason {
  const { arena } = evaluation;
  const origin = detail.origin as {
    place: Place | null;
    origin: { entity: { path: string }; item: { name: string }; path: readonly string[] } | null;
    inputs: readonly TableInput[];
  };
  const name = origin.origin
    ? [origin.origin.entity.path, origin.origin.item.name, ...origin.origin.path].filter(Boolean).join('.')
    : 'a table';
  const data = detail.table;
  const x = arena.values[arena.a[at]!]!;
  const keys = data.keys as Float64Array;
  const second = arena.op[at] === Op.Lookup2 && x >= keys[0]! && x <= keys[keys.length - 1]!;
  const [asked, table, input] = second
    ? ([arena.values[arena.b[at]!]!, (data.values as readonly TableData[])[0]!, origin.inputs[1]] as const)
    : ([x, data, origin.inputs[0]] as const);
  const print = (value: number): string =>
    input ? printQuantity(value, input.dimension, input.unit, input.point, null) : String(value);
  const range = table.keys as Float64Array;
  // Inside the range only a row that is still to be determined leaves no value.
  if (
    range.includes(asked) ||
    (table.interpolation !== 'exact' && asked >= range[0]! && asked <= range[range.length - 1]!)
  )
    return { code: 'tbd', data: { what: name }, place: origin.place };
  const code =
    table.interpolation === 'exact' ? 'table-without-entry' : asked !== asked ? 'not-a-number' : 'outside-table';
  return {
    code,
    data: { table: name, asked: print(asked), low: print(range[0]!), high: print(range[range.length - 1]!) },
    place: origin.place,
  };
}
