import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv2020 } from 'ajv/dist/2020.js';
import AjvDraft04 from 'ajv-draft-04';
import addFormats from 'ajv-formats';
import { describe, expect, it } from 'vitest';
import type { CheckReport } from '../../server/reports/check-report.js';
import { buildReport } from '../../server/reports/build-report.js';
import { renderers } from '../../server/reports/render.js';
import { displayWidth } from '../../server/reports/table.js';
import { open } from '../findings/project.js';
import { empty, sample } from './sample.js';

const { text, json, sarif, junit, github } = renderers;
const readJson = (path: string | URL) => JSON.parse(readFileSync(path, 'utf8'));

describe('golden files', () => {
  it.each([
    ['check.txt', text(sample)],
    ['check-narrow.txt', text(sample, { width: 80 })],
    ['empty.txt', text(empty)],
    ['check.json', json(sample)],
    ['check.sarif', sarif(sample)],
    ['check.junit.xml', junit(sample)],
    ['check.github.txt', github(sample)],
  ])('%s', async (name, printed) => {
    await expect(printed).toMatchFileSnapshot(`golden/${name}`);
  });
});

describe('text', () => {
  it.each([60, 80, 100, 140, 200])('stays within %d characters', width => {
    const printed = text(sample, { width });
    expect(Math.max(...printed.split('\n').map(displayWidth))).toBeLessThanOrEqual(width);
  });

  it('says failing in words, and only paints on request', () => {
    expect(text(sample)).toContain('FAILING');
    expect(text(sample)).not.toContain('\x1b');
    const painted = text(sample, { color: true });
    expect(painted).toContain('\x1b[31mFAILING');
    expect(painted.replace(/\x1b\[\d+m/g, '')).toBe(text(sample));
  });

  it('rounds margins toward failure', () => {
    const failing: CheckReport = structuredClone(sample);
    failing.requirements[0]!.checks[1]!.margin = -0.0001;
    expect(text(failing)).toMatch(/-0\.01 +FAILING/);
  });

  it('names the unit of a distance that has one', () => {
    const counted: CheckReport = structuredClone(sample);
    for (const { checks } of counted.requirements)
      for (const check of checks) if (check.marginUnit === 'mm') check.marginUnit = null;
    expect(text(sample)).toContain('MARGINS OF DISTANCE in mm, lowest first\n');
    expect(text(counted)).toContain('MARGINS OF DISTANCE, lowest first\n');
  });

  it('lets no control character through', () => {
    const hostile: CheckReport = structuredClone(sample);
    hostile.requirements[0]!.text = 'The tray shall\x1b[2J hold.';
    expect(text(hostile)).not.toContain('\x1b');
  });
});

const libraries: CheckReport['libraries'] = [
  {
    name: 'House',
    path: 'house',
    project: 'House',
    revision: '2.3',
    content: '0123456789ab',
    overrides: [{ configuration: 'Soft', value: 'House.Alloy.E' }],
  },
  { name: 'units', path: 'shared/units.gus', project: null, revision: null, content: 'ba9876543210', overrides: [] },
];

it('libraries are named with what they state of themselves', () => {
  expect(text({ ...empty, libraries })).toContain(
    'Library         House: House revision 2.3 from house\nLibrary         units: from shared/units.gus\n',
  );
});

const checked = (text: string): CheckReport =>
  buildReport(open({ 'a.gus': text }), { version: '0.1.0', values: ['x'], rows: true });

describe('json', () => {
  const validate = addFormats
    .default(new Ajv2020({ strict: true, allowUnionTypes: true }))
    .compile(readJson(new URL('../../docs/json/check-report.schema.json', import.meta.url)));

  it.each([
    ['sample', sample],
    ['empty', empty],
    ['libraries', { ...empty, libraries }],
    [
      'an undetermined check with its cause',
      checked('let x = TBD MPa\nrequirement R-1 "It shall hold {x}." { check x <= 3 MPa }'),
    ],
    [
      'evidence without an article, a lot of nothing',
      checked('evidence TR-1 for R-1 { }\nlot L-1 of X { }\narticle A-1 of X { }'),
    ],
  ])('follows its schema: %s', (_, report) => {
    expect(validate(JSON.parse(json(report))), JSON.stringify(validate.errors)).toBe(true);
  });

  it.each([
    ['an unknown member', { ...sample, extra: 1 }],
    ['a margin that is text', { ...sample, requirements: [{ ...sample.requirements[0], margin: '0.1' }] }],
    ['a missing member', { ...sample, totals: undefined }],
    ['an unknown status', { ...sample, requirements: [{ ...sample.requirements[0], status: 'green' }] }],
  ])('is refused by its schema with %s', (_, report) => {
    expect(validate(JSON.parse(JSON.stringify(report)))).toBe(false);
  });
});

describe('sarif', () => {
  const schema = readJson(
    createRequire(import.meta.url).resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'),
  );
  const validate = addFormats.default(new AjvDraft04({ strict: false, unicodeRegExp: false })).compile(schema);

  it.each([
    ['sample', sample],
    ['empty', empty],
  ])('follows SARIF 2.1.0: %s', (_, report) => {
    expect(validate(JSON.parse(sarif(report))), JSON.stringify(validate.errors)).toBe(true);
  });

  it('counts from one and encodes file names', () => {
    const [first] = JSON.parse(sarif(sample)).runs[0].results;
    expect(first.locations[0].physicalLocation.region).toEqual({
      startLine: 52,
      startColumn: 5,
      endLine: 52,
      endColumn: 10,
    });
    expect(first.relatedLocations[0].physicalLocation.artifactLocation.uri).toBe('materials/cf%20print.gus');
  });
});

describe('junit', () => {
  it('counts findings at or above the severity as errors', () => {
    expect(junit(sample)).toContain('errors="1"');
    expect(junit(sample, { severity: 'warning' })).toContain('errors="2"');
  });

  it('passes nothing that is not proven', () => {
    expect(junit(sample)).toContain('tests="12" failures="2" errors="1" skipped="3"');
  });
});

describe('github', () => {
  it('escapes what would end a command', () => {
    expect(github(sample)).toContain(
      'title=failing-margin::STR-010 fails in ultimate: margin -0.03 at Liftoff +axial, 85 °C (402 MPa against 390 MPa).%0AA thickness',
    );
    expect(github(sample)).toContain('100 %25 of 3 joints');
  });
});
