/** A trial moves margins and masses beside the texts, and leaves no trace. */
import { describe, expect, test } from 'vitest';
import type { Project } from '../../server/project/project.js';
import { openTexts } from '../support/fixture.js';

const TEXT = `load Lift { axial = -2 g0 .. 6 g0   level = limit }
material Print { density = 1.4 g/cm^3   ultimate = 40 MPa basis B source "campaign 3" }
material Sheet { density = 2.8 g/cm^3   ultimate = 280 MPa basis B source "data sheet" }
part Tray {
  material = Print
  t = 3 mm
  mass = material.density * 100 mm * 80 mm * t
  let area = 10 mm * t
  requirement T-1 "The tray shall hold." { check for L in corners(Lift): 10 kg * abs(L.axial) / area <= material.ultimate }
}
requirement M-1 "The tray shall weigh little." { check Tray.basic_mass <= 0.04 kg }
`;

const margins = (views: Project['configurations'], project: Project): number[] =>
  views.flatMap(view =>
    project.namespace.ofKind('requirement').map(entity => view.verification.result(entity).governing!.margin),
  );

function opened(): Project {
  return openTexts({ 'a.gus': TEXT });
}

test('margins move beside those of the texts, as if the value had been written', () => {
  const project = opened();
  const before = margins(project.configurations, project);
  project.tryValues([
    { name: 'Tray.t', text: '4.5 mm' },
    { name: 'Tray.material', text: 'Sheet' },
  ]);
  const written = openTexts({
    'a.gus': TEXT.replace('t = 3 mm', 't = 4.5 mm').replace('material = Print', 'material = Sheet'),
  });
  expect(project.trial!.problems).toEqual([]);
  expect(margins(project.trial!.views, project)).toEqual(margins(written.configurations, written));
  expect(margins(project.configurations, project)).toEqual(before);
  project.tryValues([]);
  expect(project.trial).toBeNull();
  expect(margins(project.configurations, project)).toEqual(before);
});

test('it follows edits of the model while it lasts', () => {
  const project = opened();
  project.tryValues([{ name: 'Tray.t', text: '4.5 mm' }]);
  project.setText('a.gus', TEXT.replace('10 kg *', '12 kg *'));
  project.update();
  const written = openTexts({ 'a.gus': TEXT.replace('10 kg *', '12 kg *').replace('t = 3 mm', 't = 4.5 mm') });
  expect(margins(project.trial!.views, project)).toEqual(margins(written.configurations, written));
});

describe('what can not be tried says why', () => {
  test.each([
    ['Tray.t', '3 kg', 'Tray.t is length; what is tried for it is mass.'],
    ['Tray.t', '3 mm +', /Expected/],
    ['Tray.t', '', /Expected a value/],
    ['Tray.t', '3 mm }\npart Other { mass = 1 kg', /is no value|Expected/],
    ['Tray.width', '3 mm', 'There is no value Tray.width to try another for.'],
    ['Tray.t', 'thickness', /thickness/],
    ['Tray.mass', '3 lbf', /mass must be/],
  ])('%s = %s', (name, text, message) => {
    const project = opened();
    project.tryValues([{ name, text }]);
    expect(project.trial!.problems).toHaveLength(1);
    const [problem] = project.trial!.problems;
    if (typeof message === 'string') expect(problem!.message).toBe(message);
    else expect(problem!.message).toMatch(message);
  });
});
