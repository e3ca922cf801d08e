/** Findings as diagnostics of the protocol. */
import type { Diagnostic } from 'vscode-languageserver-types';
import type { Finding } from '../project/project.js';
import { rangeOf, type FeatureContext } from './feature.js';

export type Places = Pick<FeatureContext, 'uri' | 'linesOf'>;

const SEVERITIES: Readonly<Record<Finding['severity'], 1 | 2 | 3 | 4>> = {
  error: 1,
  warning: 2,
  information: 3,
  hint: 4,
};
/** What nothing reads is shown faded. */
const UNNECESSARY: ReadonlySet<string> = new Set(['unused-name', 'unused-binder']);

export function diagnosticsOf(places: Places, findings: readonly Finding[]): Diagnostic[] {
  return findings.map(finding => diagnosticOf(places, finding));
}

export function diagnosticOf(places: Places, finding: Finding): Diagnostic {
  return {
    range: rangeOf(places.linesOf(finding.file), finding.start, finding.end),
    severity: SEVERITIES[finding.severity],
    code: finding.code,
    source: 'gusset',
    message: finding.message,
    ...(UNNECESSARY.has(finding.code) ? { tags: [1 as const] } : {}),
    ...(finding.related.length > 0
      ? {
          relatedInformation: finding.related.map(related => ({
            message: related.message,
            location: {
              uri: places.uri(related.file),
              range: rangeOf(places.linesOf(related.file), related.start, related.end),
            },
          })),
        }
      : {}),
  };
}
