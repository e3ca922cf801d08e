/** The day that dates are judged as of, and where it comes from: docs/decisions/0008. */

export interface DayOrigin {
  /** Asked for, stated by the project, the commit that is checked, or the clock of the machine. */
  readonly from: 'option' | 'project' | 'commit' | 'today';
  /** In words: which commit, or why it is today. */
  readonly text: string;
}

/** The day of the revision that a folder stands on. */
export interface Day {
  /** ISO date. */
  readonly date: string;
  readonly origin: DayOrigin;
  /** A repository is there and does not tell its revision: the day may be another than the engineer believes. */
  readonly isDoubtful: boolean;
}

export const ASKED: DayOrigin = { from: 'option', text: '--as-of' };
export const CHOSEN: DayOrigin = { from: 'option', text: 'chosen in the editor' };
export const STATED: DayOrigin = { from: 'project', text: 'date of the project' };
