/** Numbers as files spell them. */
import type { FileFormat } from '../../model/declaration.js';

export type NumberFormat = Pick<FileFormat, 'decimal' | 'thousands'>;

const PLAIN = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d+)?$/;
const DECIMAL_COMMA = /^[+-]?\d+(?:[. '’\u00a0\u202f]\d{3})*,\d+(?:[eEdD][+-]?\d+)?$/;
const POINT_GROUPS = /^[+-]?[1-9]\d{0,2}(?:\.\d{3})+$/;
const COMMA_GROUPS = /^[+-]?[1-9]\d{0,2}(?:,\d{3})+$/;
/** What is typed between thousands as a space. */
const SPACES = '[ \\u00a0\\u2009\\u202f]';

/** Reads the numbers of one file; NaN for anything but a number that a double can hold. `D` exponents are Fortran's. */
export function numberReader({ decimal, thousands }: NumberFormat): (cell: string) => number {
  if (decimal !== ',' && thousands === null) return readPlain;
  const group = thousands === null ? null : thousands === ' ' ? SPACES : `\\${thousands}`;
  const point = decimal === ',' ? ',' : '\\.';
  const whole = group === null ? '\\d+' : `(?:\\d{1,3}(?:${group}\\d{3})+|\\d+)`;
  const shape = new RegExp(`^[+-]?(?:${whole}(?:${point}\\d*)?|${point}\\d+)(?:[eEdD][+-]?\\d+)?$`);
  const groups = group === null ? null : new RegExp(group, 'g');
  return cell => {
    if (!shape.test(cell)) return NaN;
    const ungrouped = groups ? cell.replace(groups, '') : cell;
    return readPlain(ungrouped.replace(',', '.'));
  };
}

function readPlain(cell: string): number {
  if (!PLAIN.test(cell)) return NaN;
  const value = Number(cell.replace(/[dD]/, 'e'));
  return Number.isFinite(value) ? value : NaN;
}

/** Whether a cell is a number to people who write commas in numbers. */
export function hasComma(cell: string): boolean {
  return DECIMAL_COMMA.test(cell) || COMMA_GROUPS.test(cell);
}

/** Whether a cell is 1250 to one reader and 1.25 to another. */
export function hasPointGroups(cell: string): boolean {
  return POINT_GROUPS.test(cell);
}

export interface Explanation {
  /** Follows the cell in a sentence. */
  readonly message: string;
  /** What the declaration would have to say. */
  readonly clause?: string;
}

/**
 * What a cell with commas or points is that the format has no room for; null where it is none. `pointGroups`: numbers
 * such as 1.250 stand beside it.
 */
export function explainNumber(
  cell: string,
  { decimal, thousands }: NumberFormat,
  pointGroups: boolean,
): Explanation | null {
  if (decimal !== ',' && thousands === null) {
    if (COMMA_GROUPS.test(cell) && !pointGroups) return explainCommas(cell);
    if (hasComma(cell)) {
      const written = /\d([. '’\u00a0\u202f])\d{3}/.exec(cell)?.[1];
      const group = written === undefined ? (pointGroups ? '.' : null) : /\s/.test(written) ? ' ' : written;
      const clause = `decimal ","${group === null ? '' : ` thousands "${group}"`}`;
      return { message: `has a decimal comma. Say so: \`${clause}\`.`, clause };
    }
  }
  if (decimal === ',' && thousands === null && POINT_GROUPS.test(cell.replace(/,\d+$/, '')))
    return {
      message: 'has points in a file with decimal commas. Where they stand between thousands, say `thousands "."`.',
      clause: 'thousands "."',
    };
  return null;
}

function explainCommas(cell: string): Explanation {
  if (cell.indexOf(',') !== cell.lastIndexOf(','))
    return { message: 'has commas between thousands. Say so: `thousands ","`.', clause: 'thousands ","' };
  return {
    message: `is ${cell.replace(',', '.')} with a decimal comma, or ${cell.replace(',', '')} with a comma between thousands. Say which: \`decimal ","\` or \`thousands ","\`.`,
  };
}
