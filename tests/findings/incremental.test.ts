import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { open } from './project.js';
import type { Project } from '../../server/project/project.js';

const FILE = 'bracket.gus';
const text = readFileSync('examples/bracket/bracket.gus', 'utf8');
const shown = (project: Project): string[] =>
  project
    .findings(FILE)
    .map(finding => `${finding.start} ${finding.end} ${finding.code} ${finding.message}`)
    .sort();

function settle(project: Project, next: string): void {
  project.setText(FILE, next);
  project.update();
  project.updateProjectFindings();
}

const edit = fc.record({
  at: fc.nat(text.length),
  removed: fc.nat(40),
  added: fc.constantFrom(
    '',
    '}',
    '{',
    '"',
    'tt',
    ' ± 3',
    ' mm',
    '*',
    'x = ',
    'TBD kg',
    '[',
    'part P { t = 3 mm }',
    'check 3 <= 2',
  ),
});

test('whatever is typed and undone, the findings are those of a fresh start', () => {
  const project = open({ [FILE]: text });
  const fresh = shown(open({ [FILE]: text }));
  fc.assert(
    fc.property(edit, ({ at, removed, added }) => {
      const typed = text.slice(0, at) + added + text.slice(at + removed);
      settle(project, typed);
      for (const finding of project.findings(FILE)) {
        expect(finding.message).not.toMatch(/undefined|\{\w+\}|\bnull\b|NaN|\[object/);
        expect(finding.start).toBeGreaterThanOrEqual(0);
        expect(finding.end).toBeGreaterThanOrEqual(finding.start);
        expect(finding.end).toBeLessThanOrEqual(typed.length);
      }
      settle(project, text);
      expect(shown(project)).toEqual(fresh);
    }),
    { numRuns: 80, seed: 1 },
  );
});
