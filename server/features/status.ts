/** Statuses and margins in a few words, the worst of the configurations. */
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import { printMargin, printSides } from '../engine/explain.js';
import { caseName, type CheckResult } from '../engine/margin.js';
import { headlineOf, STATUSES, type RequirementResult, type Status } from '../engine/verification.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { DIMENSIONLESS } from '../units/index.js';

export interface ViewedResult {
  readonly view: ConfigurationView;
  readonly result: RequirementResult;
}

/** The result of the configuration in which a requirement is worst; null for one that stands in a kind. */
export function worstResult(project: Project, entity: Entity): ViewedResult | null {
  if (entity.kind !== 'requirement' || !isJudged(project, entity)) return null;
  return headlineOf(project.results(entity));
}

const judged = new WeakMap<readonly Entity[], ReadonlySet<Entity>>();

function isJudged(project: Project, entity: Entity): boolean {
  const { requirements } = project.view.verification.index;
  let known = judged.get(requirements);
  if (!known) judged.set(requirements, (known = new Set(requirements)));
  return known.has(entity);
}

/** `+0.15 · Pull, 40 °C`; null where nothing governs. */
export function marginText(evaluation: Evaluation, check: CheckResult): string | null {
  const { governing } = check;
  if (!governing) return null;
  const name = caseName(evaluation, governing.row);
  return [marginAlone(check), name].filter(Boolean).join(' · ');
}

export function marginAlone(check: CheckResult | null): string | null {
  const governing = check?.governing;
  if (!governing) return null;
  return printMargin(governing, printSides(governing).unit, governing.leaf?.left.dimension ?? DIMENSIONLESS);
}

/**
 * A check in the configuration where it is worst: failing before undetermined before passing, then the lower margin.
 * Configurations that share it share its result, and none is named.
 */
export function worstCheck(
  views: readonly ConfigurationView[],
  entity: Entity,
  i: number,
): { readonly view: ConfigurationView; readonly check: CheckResult; readonly configuration: string | null } | null {
  const all = views.flatMap(view => {
    const check = view.verification.result(entity).checks[i];
    return check ? [{ view, check, configuration: view.name }] : [];
  });
  const [first] = all;
  if (!first) return null;
  if (all.every(({ check }) => check === first.check)) return { ...first, configuration: null };
  return all.reduce((worst, next) => (isWorse(next.check, worst.check) ? next : worst));
}

export function isWorse(x: CheckResult, y: CheckResult): boolean {
  const rank = ({ passes }: CheckResult): number => (passes === false ? 0 : passes === null ? 1 : 2);
  const margin = ({ governing }: CheckResult): number =>
    governing && Number.isFinite(governing.margin) ? governing.margin : Infinity;
  return rank(x) < rank(y) || (rank(x) === rank(y) && margin(x) < margin(y));
}

/** `failing -0.06`. */
export function statusText(project: Project, entity: Entity): string | null {
  const worst = worstResult(project, entity);
  return worst && withMargin(worst.result.status, marginAlone(worst.result.governingCheck));
}

function withMargin(status: Status, margin: string | null): string {
  return margin === null || margin === status ? status : `${status} ${margin}`;
}

/** `failing -0.06 · Cutoff +axial, 45 °C`, with what is still open: `unverified · test on SM1 by QR open`. */
export function statusLine(project: Project, entity: Entity): string | null {
  const worst = worstResult(project, entity);
  if (!worst) return null;
  const { view, result } = worst;
  const margin = result.governingCheck && marginText(view.evaluation, result.governingCheck);
  const why =
    result.status !== result.own
      ? result.reasons[0]
      : result.own === 'unverified'
        ? openMethods(result)
        : result.own === 'lapsed'
          ? result.reasons[0]
          : null;
  return [withMargin(result.status, margin), result.thin ? 'thin' : null, why].filter(Boolean).join(' · ');
}

/** What keeps a requirement from being verified, beside a margin that says so itself. */
export function openText(result: RequirementResult): string | null {
  if (result.status === 'verified' || (result.status === 'failing' && result.own === 'failing')) return null;
  if (result.status === 'waived' && result.waiver) return `accepted by ${result.waiver.label}`;
  return result.status === 'unverified' && result.own === 'unverified'
    ? openMethods(result)
    : (result.reasons[0] ?? null);
}

/** `test on SN-QM by CDR open`. */
function openMethods({ methods, reasons }: RequirementResult): string | null {
  const open = methods
    .filter(({ closed }) => !closed)
    .map(({ method }) =>
      [
        method.name,
        method.article ? `on ${method.each ? 'each ' : ''}${method.article.path.join('.')}` : '',
        method.level ?? '',
        method.milestone ? `by ${method.milestone.path.join('.')}` : '',
      ]
        .filter(Boolean)
        .join(' '),
    );
  return open.length > 0 ? `${open.join(', ')} open` : (reasons[0] ?? null);
}

/** How many requirements in a part and in all below it have the worst status among them. */
export function worstBelow(
  project: Project,
  part: Entity,
): { readonly status: Status; readonly count: number; readonly total: number } | null {
  const counts = new Map<Status, number>();
  const visit = (entity: Entity): void => {
    for (const child of entity.members.values()) {
      const status = worstResult(project, child)?.result.status;
      if (status) counts.set(status, (counts.get(status) ?? 0) + 1);
      visit(child);
    }
  };
  visit(part);
  const status = STATUSES.find(candidate => counts.has(candidate));
  return status
    ? { status, count: counts.get(status)!, total: [...counts.values()].reduce((sum, count) => sum + count, 0) }
    : null;
}
