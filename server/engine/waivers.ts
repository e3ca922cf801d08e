/** Waivers: what is in force, and what its terms accept. */
import type { Entity } from '../model/namespace.js';
import { DIMENSIONLESS, type Dimension } from '../units/index.js';
import type { Ground } from './articles.js';
import type { Outcome } from './margin.js';
import type { Value } from './values/value.js';
import { dayOf, wordOf } from './values/words.js';

/** A margin that a waiver may accept. */
export interface WaivedMargin {
  readonly margin: number;
  /** Where it is a distance. */
  readonly dimension: Dimension;
}

export function waivedMargin(outcome: Outcome): WaivedMargin {
  const distance = outcome.kind === 'distance' ? outcome.leaf?.left.dimension : undefined;
  return { margin: outcome.margin, dimension: distance ?? DIMENSIONLESS };
}

/** Reasoned, approved, and not expired: what has no last day of the calendar was never in force. */
export function inForce({ evaluation: { namespace }, settings }: Ground, waiver: Entity): boolean {
  const expires = dayOf(namespace, waiver, 'expires');
  const stated = (field: string): boolean => (wordOf(waiver, field) ?? '').trim() !== '';
  return (
    !waiver.declaration.unread && stated('reason') && stated('approved') && expires !== null && settings.asOf <= expires
  );
}

/** `accepts margin >= -0.05`: a waiver without terms accepts nothing. */
export function accepts({ evaluation }: Ground, waiver: Entity, { margin, dimension }: WaivedMargin): boolean {
  const terms = waiver.declaration.conditions.filter(condition => condition.kind === 'accepts');
  const { arena } = evaluation;
  const node = arena.constant(margin);
  const value: Value = { kind: 'quantity', node, dimension, point: false, unit: null };
  const accepted = terms.map(term =>
    evaluation.truthWith(term, term.condition, waiver, { name: 'margin', value, parent: null }),
  );
  arena.free(node, 1);
  return terms.length > 0 && accepted.every(holds => holds === true);
}
