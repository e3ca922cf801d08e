/** Only a `project` block and a `use` that are parsed at the top of a file say anything of the folders around it. */
import { describe, expect, test } from 'vitest';
import { Outlines, outlineOf, type Outline } from '../../server/project/outline.js';
import { projectFolders, sourcesBelow } from '../../server/project/sources.js';

const SAYS_NOTHING: readonly (readonly [string, string])[] = [
  ['a line comment', '// notes\n// project Cordgrass "Survey microsatellite" { }\n//use "../house"\nlet a = 1 mm'],
  ['a block comment', '/* taken over from\nproject Old { revision = "A" }\nuse "../old"\n*/\nlet a = 1 mm'],
  ['an open block comment', 'let a = 1 mm\n/* project Old { }\nuse "../old"\n'],
  ['a documentation comment', '/// The\n/// project of the tray.\npart Tray { t = 1 mm }'],
  [
    'a shall-statement',
    'requirement STR-1 "The tray shall survive the\nproject\'s loads and\nuse \\"no\\" glue." { check 1 <= 2 }',
  ],
  ['a text over lines', 'document GUIDE "Guide of the\nproject Cordgrass\nuse \\"../house\\"" { revision = "1" }'],
  ['a field', 'part Tray {\n  project = 3 mm\n  use = 4 mm\n}'],
  ['a name', 'let project = 3 mm\nlet use = project + 1 mm\nproject_a = 4'],
  ['a block inside another', 'part Tray {\n  project Inner { revision = "A" }\n  use "../house"\n}'],
  ['a placeholder', 'let m = TBD kg owner "mass lead" use 0.4 kg'],
  ['nothing at all', ''],
];

const unnamed = (path: string) => ({ path, name: null });

describe('says nothing', () => {
  test.each(SAYS_NOTHING)('%s', (_, text) => {
    expect(outlineOf(text)).toEqual({ declaresProject: false, uses: [] });
    expect(outlineOf(text.replaceAll('\n', '\r\n'))).toEqual({ declaresProject: false, uses: [] });
  });

  test.each(SAYS_NOTHING)('%s takes no requirement out of the project above', (_, text) => {
    const sources = new Map([
      ['project.gus', 'project Cordgrass { revision = "C" }'],
      ['tray/tray.gus', text],
    ]);
    const projects = projectFolders(sources, new Outlines());
    expect(sourcesBelow('', sources, projects)).toEqual(['project.gus', 'tray/tray.gus']);
  });
});

describe('says what it says', () => {
  test.each<readonly [string, string, boolean, Outline['uses']]>([
    ['a block on one line', 'project Cordgrass "Survey" { revision = "C" }', true, []],
    ['a block without a name', 'project {\n  revision = "C"\n}', true, []],
    ['behind a comment on its line', '/* ours */ project Cordgrass { }', true, []],
    ['behind another statement on its line', 'let a = 1 mm project Cordgrass { }', true, []],
    ['with its head over lines', 'project\n  Cordgrass\n  "Survey"\n{ revision = "C" }', true, []],
    ['beside a broken statement', 'let a = (\nproject Cordgrass { revision = }', true, []],
    ['where a block is left open', 'part Tray { t = 1 mm\nproject Cordgrass { revision = "C" }', true, []],
    [
      'a folder and a file',
      'use "../house"\nuse "lib/materials.gus"\nlet a = 1',
      false,
      [unnamed('../house'), unnamed('lib/materials.gus')],
    ],
    ['a folder behind a block', 'part Tray { t = 1 mm } use "../house"', false, [unnamed('../house')]],
    ['with a path on the next line', 'use\n  "../house"', false, [unnamed('../house')]],
    ['with a name and a pin', 'use "../house" as House pin "2.3"', false, [{ path: '../house', name: 'House' }]],
    ['both', '\uFEFFproject Cordgrass { }\r\nuse "../house"\r\n', true, [unnamed('../house')]],
  ])('%s', (_, text, declaresProject, uses) => {
    expect(outlineOf(text)).toEqual({ declaresProject, uses });
  });

  test('a text that changes says what it says now', () => {
    const outlines = new Outlines();
    expect(outlines.of('a.gus', 'project A { }').declaresProject).toBe(true);
    expect(outlines.of('a.gus', '// project A { }').declaresProject).toBe(false);
    expect(outlines.of('b.gus', 'project A { }').declaresProject).toBe(true);
  });
});
