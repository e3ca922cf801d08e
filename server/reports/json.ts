import type { CheckReport } from './check-report.js';

/** The report as JSON, two spaces deep, with a final line break. */
export function renderJson(report: CheckReport): string {
  return jsonText(report);
}

/** JSON with no control character beyond the line breaks: it may be printed to a terminal. */
export function jsonText(value: unknown): string {
  const text = JSON.stringify(value, null, 2);
  return `${text.replace(/[\u007f-\u009f]/g, character => `\\u00${character.charCodeAt(0).toString(16)}`)}\n`;
}
