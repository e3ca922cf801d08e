/** One cause, one finding: at its place, and not once for everything that it leaves without a result. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openScenario, scenariosBelow } from '../support/fixture.js';
import { findingsOf, open, type Files } from './project.js';

/** Errors and warnings as `line:code`, and the statuses beside them. */
function told(text: string, more: Files = {}): readonly string[] {
  const lines = text.split('\n');
  return findingsOf({ 'a.gus': text, ...more })
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ start, code }) => {
      let [line, left] = [0, start];
      while (left > lines[line]!.length) left -= lines[line++]!.length + 1;
      return `${line + 1}:${code}`;
    });
}

const statuses = (text: string): string[] => {
  const { verification } = open({ 'a.gus': text }).view;
  return verification.index.requirements.map(entity => verification.result(entity).status);
};

const loads = (axial: string, parts: number): string =>
  [
    `load Lift { axial = ${axial}   lateral = 2 g0 any   temperature = 10 degC .. 40 degC   level = limit }`,
    'material Al { class = metal   yield = [0 degC -> 400 MPa, 90 degC -> 380 MPa] basis A source "s" }',
    'factors F { class = metal   tested = no   level = limit   yield = 1.5 }',
    ...Array.from(
      { length: parts },
      (_, i) => `part P${i} {
  material = Al
  mass = 2 kg maturity measured
  let s(L) = F.yield * mass * abs(L.axial) / (9 mm^2)
  requirement R-${i}A "It shall hold." { check yield for L in corners(Lift), T in knots(L.temperature): s(L) <= material.yield(T)   verify by analysis }
  requirement R-${i}B "It shall hold." { check yield for L in [Lift], T in knots(L.temperature): s(L) <= material.yield(T)   verify by analysis }
}`,
    ),
  ].join('\n');

test.each([
  ['a unit that is none', '14 gee', 'unknown-unit'],
  ['grams', '14 g', 'field-dimension'],
  ['grams of a range', '-2 g .. 6 g', 'field-dimension'],
  ['grams in any direction', '6 g any', 'field-dimension'],
  ['ends that differ', '-2 .. 6 g0', 'range-ends-differ'],
  ['a name that is missing', '2 * highest', 'unknown-name'],
])('an error in a load (%s) is one, however many checks sweep it, and none of them passes', (_, axial, code) => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 4 }), parts => {
      expect(told(loads(axial, parts))).toEqual([`1:${code}`]);
      expect(new Set(statuses(loads(axial, parts)))).toEqual(new Set(['undetermined']));
    }),
    { numRuns: 4 },
  );
});

test.each(['14 g0', '140 N', '-6 g0 .. 14 g0'])('a load of %s is none', axial => {
  expect(told(loads(axial, 1)).filter(each => each.startsWith('1:'))).toEqual([]);
});

test('a spectrum in grams is told once where it stands', () => {
  expect(told('load Shake { psd = [20 Hz -> 0.1 g^2/Hz, 2000 Hz -> 0.1 g^2/Hz] }')).toEqual(['1:unknown-unit']);
  expect(told('load Shake { psd = [20 Hz -> 0.1 g0^2/Hz, 2000 Hz -> 0.1 g0^2/Hz] }')).toEqual([]);
});

test('a name that is missing is one mistake in a block, whoever reads it and how often', () => {
  const reading = fc.array(
    fc.constantFrom(
      'let {n} = width',
      'let {n} = 2 * width',
      'requirement R-{n} "It shall hold." { check width >= 2 mm   verify by analysis }',
    ),
    {
      minLength: 1,
      maxLength: 8,
    },
  );
  fc.assert(
    fc.property(reading, statements => {
      const text = `part Lug {\n${statements.map((statement, i) => statement.replace('{n}', `x${i}`)).join('\n')}\n}`;
      const found = findingsOf({ 'a.gus': text }).filter(({ severity }) => severity === 'error');
      expect(found.map(({ code }) => code)).toEqual(['unknown-name']);
      expect(found[0]!.related).toHaveLength(statements.length - 1);
    }),
    { numRuns: 30 },
  );
});

test('in another block it is another mistake', () => {
  expect(told('part A { let a = width }\npart B { let b = width }')).toEqual(['1:unknown-name', '2:unknown-name']);
});

test('a field that a load does not have is told once, with what it has or that it has nothing', () => {
  const text = (load: string): string => `load Lift { ${load} }
part A { let s(L) = 2 kg * L.axial   requirement R-1 "It shall hold." { check for L in [Lift]: s(L) <= 9 N   verify by analysis } }
part B { let s(L) = 3 kg * L.axial   requirement R-2 "It shall hold." { check for L in [Lift]: s(L) <= 9 N   verify by analysis } }`;
  const messages = (load: string): string[] =>
    findingsOf({ 'a.gus': text(load) })
      .filter(({ code }) => code === 'unknown-member')
      .map(({ message }) => message);
  expect(messages('peak = 2 g0')).toEqual(['Lift has no axial, which is read in 2 places. It has: peak.']);
  expect(messages('')).toEqual(['Lift has no axial, which is read in 2 places. It states nothing yet.']);
});

test('a table that is asked outside of its range is told where it is asked, and not again where that is compared', () => {
  const text = `let t = [0 mm -> 1 MPa, 9 mm -> 2 MPa]
let x = t(12 mm)
requirement R-1 "It shall hold." { check x <= 3 MPa   verify by analysis }`;
  expect(told(text)).toEqual(['2:outside-table']);
  expect(statuses(text)).toEqual(['undetermined']);
});

test('what is only to be determined is no error where it stands, and one where it is compared', () => {
  expect(told('let x = TBD MPa\nrequirement R-1 "It shall hold." { check x <= 3 MPa   verify by analysis }')).toEqual([
    '2:undetermined',
  ]);
});

test('temperatures that a part leaves out are one finding, with all loads and what is least', () => {
  const found = findingsOf({
    'a.gus': `load Lift { axial = 6 g0   temperature = 10 degC .. 40 degC   level = limit }
load Cut { axial = 6 g0   temperature = 10 degC .. 45 degC   level = limit }
material Al { class = metal   yield = [0 degC -> 400 MPa, 90 degC -> 310 MPa] basis A source "s"   ultimate = [0 degC -> 500 MPa, 90 degC -> 410 MPa] basis A source "s" }
part Lug {
  material = Al
  requirement R-1 "It shall hold." {
    check yield for L in [Lift, Cut]: 1 kg * L.axial / (1 mm^2) <= material.yield(20 degC)
    check ultimate for L in [Lift, Cut]: 1 kg * L.axial / (1 mm^2) <= material.ultimate(20 degC)
    verify by analysis
  }
}`,
  }).filter(({ code }) => code === 'temperature-not-swept');
  expect(found.map(({ message }) => message)).toEqual([
    'Lug is checked against Lift, Cut, and not at all temperatures at which they act: Al.yield is 355 MPa at 45 °C, less than wherever it is asked (20 °C); Al.ultimate is 455 MPa at 45 °C, less than wherever it is asked (20 °C). Sweep T in knots(Lift.temperature), or say in the part: exempt Lift, Cut because "…".',
  ]);
});

test('the neighbour of a label is no spelling of it', () => {
  const message = (label: string): string =>
    findingsOf({ 'a.gus': `lot L-11 of Al { }\nmaterial Al { }\narticle A-1 of Al from ${label} { }` }).find(
      ({ code }) => code === 'unresolved-reference',
    )!.message;
  expect(message('L-12')).not.toContain('meant');
  expect(message('L-1')).not.toContain('meant');
  expect(message('L-011')).toContain('Is L-11 meant?');
  expect(message('M-11')).toContain('Is L-11 meant?');
});

test('while a part is typed, whatever is an error stands in it', () => {
  const project = openScenario(scenariosBelow('examples').find(({ name }) => name === 'cordgrass')!);
  const file = 'cordgrass/structure.gus';
  const text = project.text(file)!;
  const start = text.indexOf('  part CornerGusset');
  const part = `  part Doubler "Doubler plate" {
    material = AlPlate from L-7301
    t = 2.5 mm ± 0.1 mm
    volume = 40 mm * 60 mm * t
    mass = material.density * volume maturity measured
    position = (280, 0, 0) mm
    requirement STR-900 "The doubler shall carry every launch case." {
      check yield for L in LaunchCases: FlightMetal.yield * 3 MPa <= material.yield(L.temperature.high)
      verify by analysis
    }
  }
`;
  const errors = (): Map<string, number> =>
    new Map(
      project.files.flatMap(path =>
        project
          .findings(path)
          .filter(({ severity }) => severity === 'error')
          .map(({ code, message, start: at }) => [`${path} ${code} ${message}`, path === file ? at : -1]),
      ),
    );
  const before = errors();
  // Behind each word: then whoever types stops for a moment.
  for (const { index: length } of part.matchAll(/(?<=\S)\s/g)) {
    project.setText(file, `${text.slice(0, start)}${part.slice(0, length)}\n${text.slice(start)}`);
    project.update();
    project.updateProjectFindings();
    const elsewhere = [...errors()].filter(([key, at]) => !before.has(key) && !(at >= start && at <= start + length));
    expect(elsewhere, part.slice(0, length)).toEqual([]);
  }
}, 60_000);

test('a part without a position is told once, also to a check that stands in no requirement', () => {
  const part = 'part Bus { part Lug { mass = 1 kg maturity measured }\n';
  expect(told(`${part}  check centre: Bus.center_of_mass.x <= 3 mm\n}`)).toContain('1:position-missing');
});
