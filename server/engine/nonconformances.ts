/** Departures found on articles: open ones stand against what they name until they are dispositioned. */
import type { Entity } from '../model/namespace.js';
import type { Ground } from './articles.js';
import { articlesOf, madeOf } from './verification-index.js';
import { dayOf, wordOf } from './values/words.js';

/** What a nonconformance asks for before it no longer stands against a requirement. */
export interface Settled {
  /** Whether a waiver accepts the requirement on some articles. */
  readonly waived: (articles: readonly Entity[]) => boolean;
  /** Whether the checks pass at what was measured on an article. */
  readonly passesAsBuilt: (article: Entity) => boolean;
  /** Whether evidence taken on an article since a day stands. */
  readonly shownSince: (article: Entity, day: string) => boolean;
}

export interface OpenNonconformance {
  readonly entity: Entity;
  /** Whether it names the requirement; else its effect on it is not known. */
  readonly named: boolean;
  readonly reason: string;
}

/** Nonconformances that stand against a requirement. */
export function openNonconformances(ground: Ground, requirement: Entity, settled: Settled): OpenNonconformance[] {
  const { index } = ground;
  const loose = index.loose.filter(entity => concerns(ground, entity, requirement));
  return [...(index.nonconformances.get(requirement) ?? []), ...loose].flatMap((entity): OpenNonconformance[] => {
    const reason = openBy(ground, entity, settled);
    return reason === null ? [] : [{ entity, named: !loose.includes(entity), reason }];
  });
}

/** Whether an article with a departure of unknown effect is of the part of a requirement, or verifies it. */
function concerns({ evaluation: { namespace }, index }: Ground, entity: Entity, requirement: Entity): boolean {
  const articles = articlesOf(namespace, entity);
  return (
    articles.some(article => requirement.part !== null && madeOf(namespace, article) === requirement.part) ||
    (index.evidence.get(requirement) ?? []).some(evidence =>
      articlesOf(namespace, evidence).some(article => articles.includes(article)),
    )
  );
}

/** Why a nonconformance is open; null where it is settled. */
function openBy(ground: Ground, entity: Entity, settled: Settled): string | null {
  if (entity.declaration.unread) return `${entity.label} is open: it can't be read as it is written`;
  const disposition = wordOf(entity, 'disposition');
  if (disposition === null) return `${entity.label} is open: it has no disposition`;
  const { namespace } = ground.evaluation;
  const day = dayOf(namespace, entity, 'date');
  if (day === null) return `${entity.label} is open: it does not say on which day it was dispositioned`;
  if (day > ground.settings.asOf) return `${entity.label} is open: its disposition is of ${day}`;
  const articles = articlesOf(namespace, entity);
  switch (disposition) {
    case 'use_as_is':
      return settled.waived(articles) || (articles.length > 0 && articles.every(settled.passesAsBuilt))
        ? null
        : `${entity.label} is used as it is, with neither a margin at the as-built value nor a waiver`;
    case 'rework':
    case 'repair':
      return articles.length > 0 && articles.every(article => settled.shownSince(article, day))
        ? null
        : `${entity.label} is reworked, with no evidence since ${day}`;
    case 'scrap':
    case 'return':
      return null;
    default:
      return `${entity.label} is open: ${disposition} is no disposition`;
  }
}

/** The nonconformance by which an article was taken out of use by the day of judgement. */
export function scrappedBy(ground: Ground, article: Entity): Entity | undefined {
  return dispositionsOf(ground, article, ['scrap', 'return']).find(({ day }) => day <= ground.settings.asOf)?.entity;
}

/** Whether an article was mended between two days. */
export function mendedBetween(ground: Ground, article: Entity, from: string, to: string): boolean {
  return dispositionsOf(ground, article, ['rework', 'repair']).some(({ day }) => from <= day && day <= to);
}

function dispositionsOf(
  { evaluation: { namespace }, index }: Ground,
  article: Entity,
  wanted: readonly string[],
): { readonly entity: Entity; readonly day: string }[] {
  return (index.departures.get(article) ?? []).flatMap(entity => {
    const day = dayOf(namespace, entity, 'date');
    return day !== null && wanted.includes(wordOf(entity, 'disposition') ?? '') ? [{ entity, day }] : [];
  });
}
