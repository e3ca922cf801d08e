import type { Dimension } from '../dimensions/dimension.js';
import type { UnitSense } from '../dimensions/unit.js';

/** One entry of a unit table. */
export interface UnitRow {
  readonly symbol: string;
  /** In words, singular; a prefix goes before it. */
  readonly name: string;
  /** Exact: an amount (`0.0254`, `5/9`) and units defined in any table, or a dimension with SI factor 1. */
  readonly is: string | Dimension;
  /** Times π. */
  readonly pi?: true;
  /** SI prefixes the unit takes, separated by spaces. Only what somebody writes: each one can clash. */
  readonly prefixes?: string;
  /** Other spellings that are read, never printed. They take the same prefixes. */
  readonly spellings?: readonly string[];
  readonly sense?: UnitSense;
  /** Makes it a point on a scale: SI value = (x + offset) × factor. */
  readonly offset?: string;
}
