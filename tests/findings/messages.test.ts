/** Messages that say more where more is known. */
import { expect, test } from 'vitest';
import { findingsOf } from './project.js';

const material = 'material M { ultimate = { x: 50 MPa, z: 20 MPa } basis B source "campaign 4" }';

test.each([
  [
    'a record that is called names its members',
    `${material}\nlet a = M.ultimate(20 degC)`,
    'not-callable',
    'Brackets directly behind a name call a formula or ask a table, and this is a record of x, z: name one of them first.',
  ],
  [
    'a load in any direction is to be swept',
    'load Lift { lateral = 2 g0 any }\nlet a = abs(Lift.lateral)',
    'number-expected',
    'A quantity is due here, not a value in any direction: sweep the load with corners(…), a range with knots(…).',
  ],
  [
    'a table is to be asked',
    'let t = [0 degC -> 2 MPa, 9 degC -> 1 MPa]\nlet a = 2 * t',
    'number-expected',
    'A quantity is due here, not a table: ask it in brackets, as strength(20 °C).',
  ],
  ['of a text nothing is to be swept', 'let a = abs("two")', 'number-expected', 'A quantity is due here, not a text.'],
  [
    'what has no check does not pass',
    'requirement R-1 "It shall hold." { verify by test }',
    'unverified',
    'R-1 is not verified: test has no evidence yet.',
  ],
  [
    'what has one passes',
    'requirement R-1 "It shall hold." { check 1 N <= 2 N   verify by test }',
    'unverified',
    'R-1 passes and is not verified: test has no evidence yet.',
  ],
  [
    'what breaks is to be strengthened',
    `material M { yield = 50 MPa basis A source "sheet 4" }\nrequirement R-1 "It shall hold." { check 60 MPa <= M.yield }`,
    'failing-margin',
    'R-1 fails: 60 MPa against 50 MPa, margin -0.17. Strengthen it, lower the load, or state a waiver with its terms.',
  ],
  [
    'what is too heavy is not',
    'requirement R-1 "It shall be light." { check 6 kg <= 5 kg }',
    'failing-margin',
    'R-1 fails: 6 kg against 5 kg, margin -0.17. Change one side or the other, or state a waiver with its terms.',
  ],
  [
    'an instance that lacks what its kind is given is named',
    'kind K { given d: length }\npart X is K { d = 2 mm }\npart Y is K {}',
    'missing-field',
    'Part Y needs d. It is given to K.',
  ],
  [
    'a cap is of some part',
    'project P { mass_limit = 1 kg }\npart X { mass = 3 kg maturity measured }',
    'missing-field',
    'Project P needs mass_of. Without it the cap is held against nothing.',
  ],
  [
    'a part is made of a material and not of a text',
    'material Al { density = 2 g/cm^3 }\npart X { material = "Al"   mass = 3 kg maturity measured }',
    'field-dimension',
    'material must be the name of a material block, and this is a text.',
  ],
  [
    'a load acts at temperatures and not at charges',
    'load Lift { axial = 2 g0   temperature = 20 C   level = limit }',
    'field-dimension',
    'temperature must be a point of temperature, or a range of them, and this is charge.',
  ],
  [
    'what a reference may lead to is listed',
    'material M { density = 2 g/cm^3 source MEMO "3" }',
    'unresolved-reference',
    '"source MEMO" leads nowhere: the project has no document, evidence, results, table or assume of that name.',
  ],
])('%s', (_, model, code, message) => {
  expect(
    findingsOf({ 'a.gus': model })
      .filter(finding => finding.code === code)
      .map(finding => finding.message),
  ).toEqual([message]);
});

test('what a kind is given and an instance lacks leaves that instance undetermined, and is no unknown name', () => {
  const kind = 'kind K { given d: length   requirement R-1 "It shall hold." { check d >= 1 mm } }';
  const found = findingsOf({ 'a.gus': `${kind}\npart X is K { d = 2 mm }\npart Y is K {}` });
  expect(found.filter(({ severity }) => severity === 'error').map(({ message }) => message)).toEqual([
    'R-1/Y is undetermined. Y gives d no value.',
  ]);
});
