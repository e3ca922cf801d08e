import type { CheckReport, Severity } from './check-report.js';
import { renderGithub } from './github.js';
import { renderJson } from './json.js';
import { renderJunit } from './junit.js';
import { renderSarif } from './sarif.js';
import { renderText } from './text.js';

export interface RenderOptions {
  /** Characters a line of text may take. */
  readonly width?: number;
  /** ANSI colours in text. */
  readonly color?: boolean;
  /** Text of only what isn't verified, and the counts. */
  readonly brief?: boolean;
  /** The report of the check before, where text is to say what moved. */
  readonly before?: CheckReport | undefined;
  /** Findings at or above it count as errors where the format knows errors only. */
  readonly severity?: Severity;
}

export type ReportFormat = 'text' | 'json' | 'sarif' | 'junit' | 'github';

export const renderers: Readonly<Record<ReportFormat, (report: CheckReport, options?: RenderOptions) => string>> = {
  text: renderText,
  json: renderJson,
  sarif: renderSarif,
  junit: renderJunit,
  github: renderGithub,
};
