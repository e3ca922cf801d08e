/** A rule of the grammar as it is written out; places are told by their numbers within it. */

/** A place of a rule, in which a token or another rule stands. */
export interface PlaceTable {
  readonly token?: string;
  readonly rule?: string;
  /** Type of the node at the place; empty where the rule begins. */
  readonly type: string;
  readonly property?: string;
  /** What is read so far becomes this node, or a property of it, once the place is taken. */
  readonly makes?: { readonly type: string; readonly property?: string };
  /** Of an operator: the more, the later it binds. */
  readonly looseness?: number;
  /** Places that may come behind it. */
  readonly next: readonly number[];
  /** Whether the rule may end behind it. */
  readonly ends: boolean;
}

export interface RuleTable {
  readonly name: string;
  readonly type: string;
  /** Operands and operators in turn; a single operand stands for itself. */
  readonly infix?: boolean;
  /** Kinds of token that it may begin with. */
  readonly firsts: readonly string[];
  readonly places: readonly PlaceTable[];
}
