/** What was built, held against the model: drawing and material in force, lots, days. */
import type { Entity, Namespace } from '../model/namespace.js';
import type { Evaluation } from './evaluation/evaluation.js';
import type { Reason } from './values/value.js';
import { articlesOf, lotsOf, madeOf, type VerificationIndex } from './verification-index.js';
import { citedFile, dayOf, wordOf } from './values/words.js';
import { declared, saidIn } from '../model/statements.js';

export interface VerificationSettings {
  /** ISO date by which expiry and evidence are judged. */
  readonly asOf: string;
  readonly thinMargin: number;
  /** Whether there are several flight configurations. */
  readonly several: boolean;
  /** Whether a file that a declaration cites exists; undefined while that is not known. */
  fileExists(from: Entity, path: string): boolean | undefined;
  /** Why a value is undetermined, in a clause. */
  say(reason: Reason): string;
}

/** One configuration as evidence is judged in it. */
export interface Ground {
  readonly evaluation: Evaluation;
  readonly index: VerificationIndex;
  readonly settings: VerificationSettings;
  /** Parts that have a slot which a part fills. */
  holdersOf(part: Entity): readonly Entity[];
}

/** What keeps an article from standing for the model, one clause each. */
export function articleFaults(ground: Ground, article: Entity): string[] {
  const { evaluation, settings } = ground;
  const { namespace } = evaluation;
  const model = madeOf(namespace, article);
  if (!model) return [`${article.name} does not say which part it is`];
  const built = builtOn(ground, article);
  const faults: string[] = [];
  if (built === null) faults.push(`${article.name} does not say on which day it was built`);
  else if (built > settings.asOf) faults.push(`${article.name} is built on ${built}, after ${settings.asOf}`);
  if (model.kind === 'part') faults.push(...drawingFaults(evaluation, article, model));
  return [...faults, ...lotFaults(ground, article, model, built)];
}

/** The day on which an article was built or printed. */
export function builtOn({ evaluation: { namespace } }: Ground, article: Entity): string | null {
  return dayOf(namespace, article, article.values.has('built') ? 'built' : 'printed');
}

function drawingFaults(evaluation: Evaluation, article: Entity, part: Entity): string[] {
  const [wanted, found] = [drawingOf(evaluation, part), drawingOf(evaluation, article)];
  if (wanted === found) return [];
  if (wanted === null) return [`${part.path} states no drawing that ${found} of ${article.name} could be held against`];
  if (found === null) return [`${article.name} does not say to which drawing it was built; ${wanted} is in force`];
  return [`${article.name} was built to ${found}, and ${wanted} is in force`];
}

/** Number and revision of the drawing of a part or an article. */
function drawingOf(evaluation: Evaluation, entity: Entity): string | null {
  const value = evaluation.valueOf(entity, 'drawing');
  const revision = evaluation.itemOf(entity, 'drawing')?.item.annotations.revision;
  return value?.kind === 'text' ? `${value.text}${revision ? ` revision ${revision}` : ''}` : null;
}

/** The material that a part is made of, or that a coupon is. */
export function materialOf(evaluation: Evaluation, model: Entity): Entity | null {
  if (model.kind === 'material') return model;
  const value = evaluation.valueOf(model, 'material');
  return value?.kind === 'entity' && value.entity.kind === 'material' ? value.entity : null;
}

/** Something that was made, or is to be, of a lot on a day. */
export interface Use {
  readonly name: string;
  readonly day: string;
}

function lotFaults(ground: Ground, article: Entity, model: Entity, built: string | null): string[] {
  const material = materialOf(ground.evaluation, model);
  const lots = lotsOf(ground.evaluation.namespace, article);
  if (lots.length < Math.max(declared(article, 'article').from.length, material ? 1 : 0))
    return [`${article.name} names no lot${material ? ` of ${material.name}` : ''} that it is made from`];
  const use = built === null ? null : { name: article.name, day: built };
  return [
    ...unreadFaults(article),
    ...lots.flatMap(lot => [...lotContradictions(ground, lot, material, use), ...lotGaps(ground, lot)]),
  ];
}

/** What a block with a syntax error says may not be all. */
export function unreadFaults({ label, name, declaration }: Entity): string[] {
  return declaration.unread ? [`${label || name} can't be read as it is written`] : [];
}

/** What a lot says against being the material in force, and good on the day when something was made of it. */
export function lotContradictions(
  { evaluation: { namespace } }: Ground,
  lot: Entity,
  material: Entity | null,
  use: Use | null,
): string[] {
  const of = madeOf(namespace, lot);
  const received = dayOf(namespace, lot, 'received');
  const expires = dayOf(namespace, lot, 'expires');
  const faults: string[] = [];
  if (material && of !== material)
    faults.push(`${lot.name} is a lot of ${of?.name ?? 'no known material'}, and ${material.name} is in force`);
  if (use && received !== null && received > use.day)
    faults.push(`${lot.name} was received on ${received}, after ${use.name} was made of it`);
  if (use && expires !== null && use.day > expires)
    faults.push(`${lot.name} expired on ${expires}, before ${use.name} was made of it`);
  return faults;
}

/** Materials whose lots age on the shelf. */
const AGEING: ReadonlySet<string> = new Set(['printed', 'composite', 'bonded']);

/** Whether a lot is of a material that ages on the shelf. */
export function isAgeing(namespace: Namespace, lot: Entity): boolean {
  const material = madeOf(namespace, lot);
  return AGEING.has((material && wordOf(material, 'class')) ?? '');
}

/** What a lot leaves unsaid of its life and its certificate. */
export function lotGaps(ground: Ground, lot: Entity): string[] {
  const { namespace } = ground.evaluation;
  const ages = lot.values.has('expires') || isAgeing(namespace, lot);
  const unsaid = (field: string, words: string): string[] =>
    dayOf(namespace, lot, field) === null ? [`${lot.name} does not say on which day ${words}`] : [];
  return [
    ...unreadFaults(lot),
    ...unsaid('received', 'it was received'),
    ...(ages ? unsaid('expires', 'its shelf life ends') : []),
    ...fileFaults(ground, lot, 'certificate'),
  ];
}

/** What keeps a cited file from being there. */
export function fileFaults({ settings }: Ground, entity: Entity, field: string): string[] {
  const path = citedFile(entity.values.get(field)?.value);
  if (path === null) return [`${entity.label} names no ${field}`];
  return settings.fileExists(entity, path) === true
    ? []
    : [`the ${field} of ${entity.label}, ${path}, is not in the project`];
}

/** Whether something taken on an article of `of` was taken on `part`: it is that part, or an assembly that holds it. */
function holds(ground: Ground, of: Entity, part: Entity): boolean {
  const above = new Set([part]);
  for (const at of above) {
    if (at === of || at.base === of) return true;
    const outer = at.parent?.part;
    if (outer) above.add(outer);
    else for (const holder of ground.holdersOf(at)) above.add(holder);
  }
  return false;
}

/** What fills slots of parts, with the parts that these are of. */
export function slotHolders(evaluation: Evaluation): Map<Entity, Entity[]> {
  const holders = new Map<Entity, Entity[]>();
  for (const holder of evaluation.namespace.entitiesOf('part'))
    for (const [name, item] of holder.values) {
      const value = item.kind === 'slot' ? evaluation.valueOf(holder, name) : undefined;
      if (value?.kind === 'entity') holders.set(value.entity, [...(holders.get(value.entity) ?? []), holder]);
    }
  return holders;
}

/** Articles of an evidence, with what keeps each from standing for the parts of a requirement. */
export function boundFaults(ground: Ground, evidence: Entity, requirement: Entity | null): string[] {
  const { namespace } = ground.evaluation;
  const articles = articlesOf(namespace, evidence);
  const strangers = saidIn(evidence.declaration, 'on').length - articles.length;
  if (strangers > 0) return [`${evidence.label} is on what is no article`];
  const models = articles.map(article => madeOf(namespace, article)).filter(model => model !== null);
  const missed = (requirement ? partsOf(ground, requirement) : []).filter(
    part => !models.some(model => holds(ground, model, part)),
  );
  return [
    ...(articles.length > 0
      ? missed.map(part => `${articles.map(article => article.name).join(', ')} is no article of ${part.path}`)
      : []),
    ...articles.flatMap(article => articleFaults(ground, article)),
  ];
}

/** The parts that a requirement is for. */
function partsOf({ evaluation: { namespace } }: Ground, requirement: Entity): Entity[] {
  const named = declared(requirement, 'requirement')
    .targets.map(target => namespace.resolvePath(target.path, requirement))
    .filter(entity => entity?.kind === 'part') as Entity[];
  const { part } = requirement;
  return named.length > 0 ? named : part ? [part] : [];
}
