import type { CheckReport } from '../reports/check-report.js';
import { UnusableInput } from './outcome.js';
import type { Workspace } from './workspace.js';

/** What a check is asked for. */
export interface CheckRequest {
  /** ISO date by which expiry is judged. */
  readonly asOf: string;
  /** By default all flight configurations. */
  readonly configurations: readonly string[] | undefined;
  /** Names of the values to report. */
  readonly values: readonly string[];
  /** Whether to report every row of every sweep. */
  readonly rows: boolean;
}

export type Evaluate = (workspace: Workspace, request: CheckRequest) => Promise<CheckReport>;

/** Opens the project of the workspace and evaluates it. */
export const evaluate: Evaluate = async () => {
  throw new UnusableInput('This build cannot evaluate projects yet.');
};
