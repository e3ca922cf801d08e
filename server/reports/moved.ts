/** What moved from one check to the next: statuses, margins and masses, before and after. */
import { formatMargin, formatNumber } from '../units/index.js';
import type { CheckEntry, CheckReport, RequirementReport } from './check-report.js';

export interface Move {
  /** A requirement, a check of one, or the mass of the whole. */
  readonly what: string;
  /** The case that governs now. */
  readonly where: string;
  readonly before: string;
  readonly after: string;
}

export function movesBetween(before: CheckReport, after: CheckReport): Move[] {
  const known = new Map(before.requirements.map(requirement => [requirement.label, requirement]));
  const labels = new Set([...after.requirements.map(({ label }) => label), ...known.keys()]);
  const now = new Map(after.requirements.map(requirement => [requirement.label, requirement]));
  return [
    ...[...labels].flatMap(label => movesOf(label, known.get(label), now.get(label))),
    ...massMoves(before, after),
  ];
}

const NOWHERE = 'none';

function movesOf(label: string, before?: RequirementReport, after?: RequirementReport): Move[] {
  const statuses = [before, after].map(requirement => requirement?.status ?? NOWHERE);
  const margins = [before, after].map(requirement => new Map(requirement?.checks.map(check => [nameOf(check), check])));
  const checks = before && after ? [...new Set(margins.flatMap(each => [...each.keys()]))] : [];
  return [
    { what: label, where: '', before: statuses[0]!, after: statuses[1]! },
    ...checks.map(name => {
      const [was, is] = margins.map(each => each.get(name));
      return { what: `${label} ${name}`, where: is?.governing ?? '', before: marginOf(was), after: marginOf(is) };
    }),
  ].filter(move => move.before !== move.after);
}

/** A check keeps its name where its place and its numbers move. */
function nameOf({ mode, configuration, formula }: CheckEntry): string {
  return [mode ?? formula, configuration && `in ${configuration}`].filter(Boolean).join(' ');
}

function marginOf(check: CheckEntry | undefined): string {
  if (!check) return NOWHERE;
  const { passes, margin, marginKind, marginUnit } = check;
  if (passes === null) return 'undetermined';
  if (marginKind === 'unbounded') return 'unbounded';
  return margin === null ? (passes ? 'met' : 'not met') : [formatMargin(margin), marginUnit].filter(Boolean).join(' ');
}

function massMoves({ totals: before }: CheckReport, { totals: after }: CheckReport): Move[] {
  const masses = [
    { what: 'predicted mass', before: before.massPredicted, after: after.massPredicted },
    { what: 'predicted mass at worst', before: before.massWorst, after: after.massWorst },
  ];
  return masses
    .map(({ what, before: was, after: is }) => ({
      what,
      where: after.massConfiguration ? `in ${after.massConfiguration}` : '',
      before: massText(was),
      after: massText(is),
    }))
    .filter(move => move.before !== move.after);
}

function massText(mass: number | null): string {
  return mass === null ? 'undetermined' : `${formatNumber(mass, 6)} kg`;
}
