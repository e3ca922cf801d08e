import type { CheckReport, MassTotals, Severity, Status, Totals } from './check-report.js';
import { statuses } from './check-report.js';

const severities: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

/** One sentence of counts: "12 requirements: 1 failing, 11 verified; 2 thin; 30 checks, 412 rows; 1 error." */
export function totalsLine(totals: Totals): string {
  const byStatus = statuses
    .filter(status => totals.byStatus[status] > 0)
    .map(status => `${totals.byStatus[status]} ${status}`);
  const findings = severities
    .filter(severity => totals.diagnostics[severity] > 0)
    .map(severity =>
      severity === 'information'
        ? `${totals.diagnostics[severity]} information`
        : plural(totals.diagnostics[severity], severity),
    );
  const parts = [
    plural(totals.requirements, 'requirement') + (byStatus.length > 0 ? `: ${byStatus.join(', ')}` : ''),
    ...(totals.thin > 0 ? [`${totals.thin} thin`] : []),
    `${plural(totals.checks, 'check')}, ${plural(totals.rows, 'row')}`,
    findings.join(', ') || 'no findings',
  ];
  return `${parts.join('; ')}.`;
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** Counts over a report, and its mass in kg beside the cap, where the project states one. */
export function totalsOf(report: Omit<CheckReport, 'totals'>, mass: MassTotals): Totals {
  const count = <T extends string>(names: readonly T[], of: (name: T) => number): Record<T, number> =>
    Object.fromEntries(names.map(name => [name, of(name)])) as Record<T, number>;
  const checks = report.requirements.flatMap(requirement => requirement.checks);
  return {
    requirements: report.requirements.length,
    byStatus: count<Status>(
      statuses,
      status => report.requirements.filter(requirement => requirement.status === status).length,
    ),
    thin: report.requirements.filter(requirement => requirement.thin).length,
    checks: checks.length,
    rows: checks.reduce((total, check) => total + check.rowCount, 0),
    diagnostics: count<Severity>(
      severities,
      severity => report.diagnostics.filter(diagnostic => diagnostic.severity === severity).length,
    ),
    massPredicted: mass.predicted,
    massWorst: mass.worst,
    massLimit: mass.limit,
    massOf: mass.of,
    massConfiguration: mass.configuration,
    massUnclear: mass.unclear,
  };
}
