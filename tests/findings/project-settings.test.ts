import { describe, expect, test } from 'vitest';
import { setSources } from '../support/sources.js';
import { codesOf, findingsOf, open } from './project.js';

const model = `part Bus { slot payload = A }
part A { mass = 3 kg }
part B { mass = 5 kg }
requirement R-1 "The payload shall weigh no more than {limit}." { let limit = LIMIT   check Bus.payload.mass <= limit   verify by analysis }
configuration First { Bus.payload = A }
configuration Second { Bus.payload = B }
`;

const failing = (limit: string): string[] =>
  findingsOf({ 'a.gus': model.replace('LIMIT', limit) })
    .filter(finding => finding.code === 'failing-margin')
    .map(finding => finding.message);

describe('what is found in several configurations', () => {
  test('names the configuration where not all are concerned', () => {
    expect(failing('4 kg')).toEqual([
      expect.stringContaining('5 kg against 4 kg, margin -0.20 in configuration Second.'),
    ]);
  });
  test('stays two findings where the numbers differ', () => {
    expect(failing('2 kg')).toHaveLength(2);
  });
  test('is one without a name where it is the same in all', () => {
    const same = model.replace('5 kg', '3 kg').replace('LIMIT', '2 kg');
    const found = findingsOf({ 'a.gus': same }).filter(finding => finding.code === 'failing-margin');
    expect(found).toHaveLength(1);
    expect(found[0]!.message).not.toContain('configuration');
  });
  test('names two of three', () => {
    const three = `${model.replace('LIMIT', '4 kg')}configuration Third { Bus.payload = B }\n`;
    expect(
      findingsOf({ 'a.gus': three })
        .filter(finding => finding.code === 'failing-margin')
        .map(finding => finding.message),
    ).toEqual([expect.stringContaining('in configurations Second, Third.')]);
  });
});

describe('severities set by the project', () => {
  const project = (setting: string): string => `project P { date = 2027-06-01\n  ${setting}\n}
milestone PDR { date = 2027-01-01 }
milestone CDR { date = 2027-12-01 }
requirement R-1 "It shall hold." { check 5 N <= 4 N   verify by analysis }
`;
  const severity = (setting: string): string | undefined =>
    findingsOf({ 'a.gus': project(setting) }).find(finding => finding.code === 'failing-margin')?.severity;

  test('its own where nothing is set', () => expect(severity('')).toBe('error'));
  test('replaced', () => expect(severity('severity failing-margin = warning')).toBe('warning'));
  test('off', () => expect(severity('severity failing-margin = off')).toBeUndefined());
  test('before a milestone that is ahead', () =>
    expect(severity('severity failing-margin = warning before CDR')).toBe('warning'));
  test('before a milestone that has passed', () =>
    expect(severity('severity failing-margin = warning before PDR')).toBe('error'));
  test('from a milestone on', () => {
    expect(severity('severity failing-margin = hint by PDR')).toBe('hint');
    expect(severity('severity failing-margin = hint by CDR')).toBe('error');
  });
});

test('a finding goes when what it was about is mended', () => {
  const project = open({
    'a.gus':
      'part Tray { t = 3 mm   width = 2 * tt }\nrequirement R-1 "It shall hold." { check Tray.width <= 4 mm   verify by analysis }\n',
  });
  expect(project.findings('a.gus').map(finding => finding.code)).toEqual(['unknown-name']);
  project.setText(
    'a.gus',
    'part Tray { t = 3 mm   width = 2 * t }\nrequirement R-1 "It shall hold." { check Tray.width <= 4 mm   verify by analysis }\n',
  );
  project.update();
  project.updateProjectFindings();
  expect(project.findings('a.gus').map(finding => finding.code)).toEqual(['failing-margin']);
});

test('a check outside of requirements is judged as well', () => {
  expect(codesOf({ 'a.gus': 'part Tray { t = 3 mm   check t <= 2 mm }\n' })).toContain('failing-margin');
  expect(codesOf({ 'a.gus': 'let t = 3 mm\ncheck t <= 2 mm\n' })).toContain('failing-margin');
});

test('rules over the whole project wait where it is being read anew between two of them', () => {
  const defects: string[] = [];
  const craft = (more: string): string => `project P { date = 2027-01-01 }\n${more}`;
  const project = open(
    { 'craft/a.gus': craft('use "../house" as House\n'), 'house/h.gus': 'let x = 2 mm\n' },
    { onDefect: what => void defects.push(what) },
    'craft',
  );
  expect(project.libraries).toHaveLength(1);
  const steps = project.projectFindingSteps();
  steps.next();
  setSources(project, new Map([['craft/a.gus', craft('load L { axial = 2 g0 }\n')]]), 'craft');
  while (!steps.next().done);
  expect(defects).toEqual([]);
});
