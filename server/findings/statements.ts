/** Shall-statements whose wording is ours to change. */
import { isTemplate } from '../engine/verification-index.js';
import { wordOf } from '../engine/values/words.js';
import type { Place } from '../engine/values/value.js';
import type { Entity } from '../model/namespace.js';
import { at, type ProjectView } from './rule.js';
import { plainWords } from './text-search.js';
import { declared } from '../model/statements.js';

export interface Statement {
  readonly requirement: Entity;
  readonly place: Place;
  readonly text: string;
}

/** Those of instances of a kind are written once, in the kind. Silent for what the customer wrote. */
export function* ownStatements(view: ProjectView): Iterable<Statement> {
  for (const requirement of view.namespace.ofKind('requirement')) {
    const { title } = requirement;
    if (requirement.template || !title || isCustomers(requirement, view)) continue;
    yield { requirement, place: at(title, 0), text: plainWords(title.segments) };
  }
}

function isCustomers(requirement: Entity, view: ProjectView): boolean {
  if (wordOf(requirement, 'customer') === 'yes') return true;
  const source = requirement.values.get('source');
  const names = [
    declared(requirement, 'requirement').source?.document?.path.join('.'),
    source?.annotations.source?.document?.path.join('.'),
    source?.value.kind === 'name' ? source.value.name : undefined,
  ];
  return names.some(
    name =>
      name !== undefined &&
      [...view.namespace.named(name)].some(
        document => document.kind === 'document' && wordOf(document, 'customer') === 'yes',
      ),
  );
}

export function isOwnRequirement(requirement: Entity): boolean {
  return !requirement.template && !isTemplate(requirement);
}
