/** Columns of results of analyses, which are called with keys: `FE7.vm(part = BatteryTray, case = L)`. */
import type { Call } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS, isUnit, parseUnit } from '../../units/index.js';
import type { Elaboration, Environment } from './elaboration.js';
import { cellValue, matchingRows } from './rows.js';
import { hiddenEntry, isPoison, type RecordValue, type Value } from '../values/value.js';
import { columnsOf, declared } from '../../model/statements.js';

export const RESULT_ROWS = hiddenEntry('rows');
const RESULT_COLUMN = hiddenEntry('column');

export function resultColumn(elaborator: Elaboration, entity: Entity, name: string, id: number): Value {
  const { columns } = declared(entity, 'results');
  const column = columns.find(candidate => candidate.name === name);
  if (!column)
    return elaborator.problem('unknown-member', id, {
      name,
      of: entity.name,
      known: columns.map(candidate => candidate.name).join(', '),
    });
  const rows = elaborator.host.rows(entity);
  if (rows.kind !== 'rows') return rows;
  return {
    kind: 'record',
    entries: new Map<string, Value>([
      [RESULT_ROWS, rows],
      [RESULT_COLUMN, { kind: 'text', text: name }],
    ]),
  };
}

export function resultCall(elaborator: Elaboration, column: RecordValue, e: Call, env: Environment | null): Value {
  const rows = column.entries.get(RESULT_ROWS)!;
  const name = (column.entries.get(RESULT_COLUMN) as { text: string }).text;
  if (rows.kind !== 'rows') return rows;
  const keys = e.arguments.map(argument => ({
    name: argument.name ?? '',
    value: elaborator.expression(argument.value, env),
  }));
  const poisoned = keys.find(key => isPoison(key.value));
  if (poisoned) return poisoned.value;
  const wanted = keys.map(key => ({ name: key.name, text: keyText(key.value, elaborator) }));
  for (const key of wanted)
    if (!rows.data.columns.has(key.name))
      return elaborator.problem('unknown-member', e.id, {
        name: key.name,
        of: rows.source.name,
        known: [...rows.data.columns.keys()].join(', '),
      });
  const matching = matchingRows(rows.data, wanted);
  const said = wanted.map(key => `${key.name} = ${key.text}`).join(', ');
  if (matching.length === 0) {
    const column = columnsOf(rows.source).find(candidate => candidate.name === name);
    const unit = column?.unitText ? parseUnit(column.unitText) : null;
    elaborator.problem('missing-result-row', e.id, { results: rows.source.name, keys: said });
    return elaborator.quantity(
      elaborator.builder.undetermined(
        'missing-result-row',
        { results: rows.source.name, keys: said },
        { owner: elaborator.item, id: e.id },
      ),
      unit && isUnit(unit) ? unit.dimension : DIMENSIONLESS,
      unit && isUnit(unit) ? unit : null,
    );
  }
  if (matching.length === 1) return cellValue(elaborator.builder, rows, name, matching[0]!);
  return elaborator.problem('several-result-rows', e.id, {
    results: rows.source.name,
    keys: said,
    count: String(matching.length),
  });
}

/** How a key of a results table is compared: entities by name, numbers as numbers, texts as written. */
function keyText(value: Value, elaborator: Elaboration): string {
  switch (value.kind) {
    case 'entity':
      return value.entity.name;
    case 'load':
      return value.name;
    case 'text':
    case 'date':
      return value.text;
    case 'quantity':
      return String(elaborator.demand(value.node));
    default:
      return '?';
  }
}
