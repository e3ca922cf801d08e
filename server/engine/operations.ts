/** The operations of compiled expressions and what each does to numbers. */

export const enum Op {
  Constant,
  Slot,
  Undetermined,
  Copy,
  Tolerance,
  Reserve,
  Root,
  Low,
  High,
  RssLow,
  RssHigh,
  Lookup,
  Lookup2,
  Add,
  Subtract,
  Multiply,
  Divide,
  Negate,
  Power,
  Square,
  SquareRoot,
  CubeRoot,
  Absolute,
  Minimum,
  Maximum,
  Exp,
  Ln,
  Log10,
  Sin,
  Cos,
  Tan,
  Asin,
  Acos,
  Atan,
  Atan2,
  Floor,
  Ceil,
  Round,
  Sign,
  LessEqual,
  Less,
  Equal,
  And,
  Or,
  Not,
  Select,
  Parameter,
  Remainder,
}

/** Relative tolerance of every comparison: inside it two sides count as equal. */
export const COMPARISON_TOLERANCE = 1e-9;

/** One operation on numbers. Domain errors give NaN, which `diagnose` traces back to the operation that made it. */
export function apply(op: Op, x: number, y: number, z: number): number {
  switch (op) {
    case Op.Copy:
    case Op.Tolerance:
      return x;
    case Op.Add:
      return x + y;
    case Op.Subtract:
      return x - y;
    case Op.Multiply:
      return x * y;
    case Op.Divide:
      return y === 0 ? NaN : x / y;
    case Op.Negate:
      return -x;
    case Op.Power:
      return y === 2
        ? x * x
        : y === 3
          ? x * x * x
          : x < 0 && !Number.isInteger(y)
            ? NaN
            : x === 0 && y < 0
              ? NaN
              : Math.pow(x, y);
    case Op.Square:
      return x * x;
    case Op.SquareRoot:
      return x < 0 ? NaN : Math.sqrt(x);
    case Op.CubeRoot:
      return Math.cbrt(x);
    case Op.Absolute:
      return Math.abs(x);
    case Op.Minimum:
      return x !== x || y !== y ? NaN : x < y ? x : y;
    case Op.Maximum:
      return x !== x || y !== y ? NaN : x > y ? x : y;
    case Op.Exp:
      return Math.exp(x);
    case Op.Ln:
      return x <= 0 ? NaN : Math.log(x);
    case Op.Log10:
      return x <= 0 ? NaN : Math.log10(x);
    case Op.Sin:
      return Math.sin(x);
    case Op.Cos:
      return Math.cos(x);
    case Op.Tan:
      return Math.tan(x);
    case Op.Asin:
      return Math.asin(x);
    case Op.Acos:
      return Math.acos(x);
    case Op.Atan:
      return Math.atan(x);
    case Op.Atan2:
      return Math.atan2(x, y);
    case Op.Floor:
      return Math.floor(x);
    case Op.Ceil:
      return Math.ceil(x);
    case Op.Round:
      return Math.round(x);
    case Op.Sign:
      return Math.sign(x);
    case Op.Remainder:
      return y === 0 ? NaN : x - y * Math.floor(x / y);
    case Op.LessEqual:
      return x !== x || y !== y ? NaN : x <= y || nearlyEqual(x, y) ? 1 : 0;
    case Op.Less:
      return x !== x || y !== y ? NaN : x < y && !nearlyEqual(x, y) ? 1 : 0;
    case Op.Equal:
      return x !== x || y !== y ? NaN : x === y || nearlyEqual(x, y) ? 1 : 0;
    case Op.And:
      return x === 0 || y === 0 ? 0 : x !== x || y !== y ? NaN : 1;
    case Op.Or:
      return x === 1 || y === 1 ? 1 : x !== x || y !== y ? NaN : 0;
    case Op.Not:
      return x !== x ? NaN : x === 0 ? 1 : 0;
    case Op.Select:
      return x !== x ? NaN : x !== 0 ? y : z;
    default:
      return NaN;
  }
}

export function nearlyEqual(x: number, y: number): boolean {
  return Math.abs(x - y) <= COMPARISON_TOLERANCE * Math.max(Math.abs(x), Math.abs(y));
}
