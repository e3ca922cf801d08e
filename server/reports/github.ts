import { visible } from '../base/index.js';
import type { CheckReport, DiagnosticReport, Severity } from './check-report.js';
import { totalsLine } from './totals.js';

const commands: Record<Severity, 'error' | 'warning' | 'notice'> = {
  error: 'error',
  warning: 'warning',
  information: 'notice',
  hint: 'notice',
};

/** The findings as GitHub workflow commands, which annotate the changed lines, and the totals as a plain line. */
export function renderGithub(report: CheckReport): string {
  return [...report.diagnostics.map(command), totalsLine(report.totals)].map(line => `${line}\n`).join('');
}

function command({ code, severity, message, file, range: { start, end } }: DiagnosticReport): string {
  const properties = {
    file,
    line: start.line + 1,
    endLine: end.line + 1,
    // Columns are only understood within one line.
    ...(start.line === end.line ? { col: start.character + 1, endColumn: end.character + 1 } : {}),
    title: code,
  };
  const list = Object.entries(properties)
    .map(([name, value]) => `${name}=${escapeProperty(String(value))}`)
    .join(',');
  return `::${commands[severity]} ${list}::${escapeData(message)}`;
}

function escapeData(text: string): string {
  // Line breaks have a spelling of their own; other control characters would steer the terminal of the log.
  const printable = text.split('\n').map(visible).join('\n');
  return printable.replaceAll('%', '%25').replaceAll('\n', '%0A');
}

function escapeProperty(text: string): string {
  return escapeData(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
