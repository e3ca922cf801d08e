import type { CheckReport, DiagnosticReport, Severity, TextRange } from './check-report.js';
import { jsonText } from './json.js';

const levels: Record<Severity, 'error' | 'warning' | 'note'> = {
  error: 'error',
  warning: 'warning',
  information: 'note',
  hint: 'note',
};

/** The findings as SARIF 2.1.0, an OASIS standard. File names are relative to the source root. */
export function renderSarif(report: CheckReport): string {
  const codes = [...new Set(report.diagnostics.map(diagnostic => diagnostic.code))].sort();
  const log = {
    version: '2.1.0',
    runs: [
      {
        tool: {
          driver: { name: report.tool.name, semanticVersion: report.tool.version, rules: codes.map(id => ({ id })) },
        },
        columnKind: 'utf16CodeUnits',
        results: report.diagnostics.map(diagnostic => result(diagnostic, codes)),
      },
    ],
  };
  return jsonText(log);
}

function result(diagnostic: DiagnosticReport, codes: readonly string[]): object {
  const related = diagnostic.related.map((each, id) => ({
    id,
    message: { text: each.message },
    ...location(each.file, each.range),
  }));
  return {
    ruleId: diagnostic.code,
    ruleIndex: codes.indexOf(diagnostic.code),
    level: levels[diagnostic.severity],
    message: { text: diagnostic.message },
    locations: [location(diagnostic.file, diagnostic.range)],
    ...(related.length > 0 ? { relatedLocations: related } : {}),
  };
}

/** SARIF counts lines and columns from one; its end column is exclusive, like ours. */
function location(file: string, { start, end }: TextRange): object {
  return {
    physicalLocation: {
      artifactLocation: { uri: file.split('/').map(encodeURIComponent).join('/'), uriBaseId: '%SRCROOT%' },
      region: {
        startLine: start.line + 1,
        startColumn: start.character + 1,
        endLine: end.line + 1,
        endColumn: end.character + 1,
      },
    },
  };
}
