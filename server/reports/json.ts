import type { CheckReport } from './check-report.js';

/** The report as JSON, two spaces deep, with a final line break. */
export function renderJson(report: CheckReport): string {
  return `${JSON.stringify(report, null, 2)}\n`;
}
