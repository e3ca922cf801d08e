import { expect, test } from 'vitest';
import { findingsOf, open } from './project.js';

const files = {
  'a.gus': 'part Antenna { t = 2 mm   requirement R-1 "It shall hold." { check Antenna.t >= 1 mm } }',
  'b.gus': 'project Antenna "Antenna" { revision = "A"   date = 2027-02-03 }',
};

test('a project may be called as a part is', () => {
  expect(findingsOf(files).filter(({ severity }) => severity === 'error')).toEqual([]);
  const project = open(files);
  expect([project.asOf, project.projectEntity?.name]).toEqual(['2027-02-03', 'Antenna']);
});

test('and not as another project is', () => {
  expect(findingsOf({ ...files, 'c.gus': files['b.gus'] }).map(({ code }) => code)).toContain('duplicate-name');
});
