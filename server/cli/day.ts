/** The day that dates are judged as of where neither the command line nor the project says one: docs/decisions/0008. */
import type { Day } from '../project/day.js';
import { revisionOf, type Unknown } from './repository.js';

/** The day of the commit that `folder` stands on, or else today. */
export async function dayOf(folder: string): Promise<Day> {
  const revision = await revisionOf(folder);
  if (typeof revision !== 'string') {
    const text = `day of the commit ${revision.name.slice(0, 12)}`;
    return { date: revision.date, origin: { from: 'commit', text }, isDoubtful: false };
  }
  return {
    date: today(),
    origin: { from: 'today', text: `today: ${reasons[revision]}` },
    isDoubtful: revision === 'closed' || revision === 'unreadable',
  };
}

const reasons: Readonly<Record<Unknown, string>> = {
  'no repository': 'not a git repository',
  'no commit': 'the repository has no commit yet',
  closed: 'the repository belongs to another owner and is closed to you',
  unreadable: 'the revision of the repository is not readable',
};

/** By the clock of this machine, where it stands. */
export function today(now = new Date()): string {
  const [year, month, day] = [now.getFullYear(), now.getMonth() + 1, now.getDate()];
  return [String(year).padStart(4, '0'), ...[month, day].map(part => String(part).padStart(2, '0'))].join('-');
}
