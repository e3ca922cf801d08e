/** What `use` brings in, and what it leaves where it is. */
import { describe, expect, test } from 'vitest';
import { Project } from '../../server/project/project.js';
import { codesOf, findingsOf, open, type Files } from '../findings/project.js';
import { setSources } from '../support/sources.js';

const HOUSE = `project House "House library" { revision = "2.3" }
unit ply = 0.2 mm
let knock_down = 0.5
formula doubled(a: length): length = 2 * a
material Alloy "Alloy" { density = 2.7 g/cm^3   E = 70 GPa   allowed = knock_down * 100 MPa }
load Pull "Pull" { force = 900 N   level = limit }
kind Lug "Lug" {
  given width: length, t: length
  material = Alloy
  let stress = Pull.force / (width * t)
  requirement LUG-A "The {name} shall carry the pull." {
    check ultimate: stress <= knock_down * 200 MPa
    verify by analysis
  }
}
part Sample "Sample of the house" { t = 1 mm   material = Alloy }
requirement HSE-001 "The house shall keep its own requirements." { check 2 <= 1   verify by analysis }
evidence HTR-1 for HSE-001 "Of the house" { method = test   result = pass }
configuration HouseRun { Sample.t = 2 mm }
`;
const with_ = (project: string, more: Files = {}): Files => ({
  'project.gus': project,
  'house/house.gus': HOUSE,
  ...more,
});
const USE = 'use "house" as House\n';

function value(files: Files, name: string): number {
  const project = open(files);
  const { evaluation } = project.view;
  const found = evaluation.valueOf(project.namespace.root, name);
  if (found?.kind !== 'quantity') throw new Error(`${name} is ${found?.kind ?? 'nothing'}`);
  return evaluation.number(found.node);
}

const messages = (files: Files, code: string): string[] =>
  findingsOf(files)
    .filter(finding => finding.code === code)
    .map(({ file, message }) => `${file}: ${message}`);

describe('names of a library', () => {
  test.each([
    ['a material by the name of the library', 'let x = House.Alloy.E', 70e9],
    ['a material by its tail', 'let x = Alloy.E', 70e9],
    ['a value by the name of the library', 'let x = House.knock_down', 0.5],
    ['a value by its tail', 'let x = knock_down', 0.5],
    ['a formula by the name of the library', 'let x = House.doubled(3 mm)', 0.006],
    ['a formula by its tail', 'let x = doubled(3 mm)', 0.006],
    ['a unit', 'let x = 5 ply', 0.001],
    ['what stands nearer', 'let knock_down = 0.25\nlet x = knock_down', 0.25],
    ['what stands nearer, and the library sees its own', 'let knock_down = 0.25\nlet x = Alloy.allowed', 50e6],
    ['a block that stands nearer', 'material Alloy { E = 1 GPa }\nlet x = Alloy.E', 1e9],
    ['the other by the name of the library', 'material Alloy { E = 1 GPa }\nlet x = House.Alloy.E', 70e9],
  ])('%s', (_, text, expected) => {
    expect(value(with_(USE + text), 'x')).toBeCloseTo(expected, 12);
    expect(codesOf(with_(USE + text)).filter(code => code !== 'unused-name')).toEqual([]);
  });

  test('a name is not needed to use a library', () => {
    expect(value(with_('use "house"\nlet x = Alloy.E + house.Alloy.E'), 'x')).toBe(140e9);
  });

  test('nothing comes in without a use', () => {
    expect(codesOf(with_('project Craft { revision = "A" }\nlet x = Alloy.E'))).toContain('unknown-name');
  });

  const two = (text: string): Files =>
    with_(`use "house" as House\nuse "other" as Other\n${text}`, {
      'other/other.gus': 'project Other { revision = "1" }\nmaterial Alloy { E = 60 GPa }\nlet knock_down = 0.4',
    });

  test.each([
    ['a block', 'let x = Alloy.E', 'House.Alloy, Other.Alloy'],
    ['a value', 'let x = 2 * knock_down', 'House.knock_down, Other.knock_down'],
  ])('%s of one name in two libraries is ambiguous', (_, text, candidates) => {
    const found = findingsOf(two(text)).map(({ message }) => message);
    expect(found.filter(message => message.includes(candidates))).toHaveLength(1);
    expect(() => value(two(text), 'x')).toThrow();
  });

  test('the name of the library tells them apart', () => {
    expect(value(two('let x = Other.Alloy.E + House.Alloy.E'), 'x')).toBe(130e9);
    expect(codesOf(two('let x = Other.Alloy.E + House.Alloy.E'))).not.toContain('ambiguous-name');
  });

  test('a library sees what it uses, and nothing of who uses it', () => {
    const files = {
      'project.gus': 'use "a" as A\nlet hidden = 3\nlet x = A.seen\nlet y = A.blind\nlet z = common',
      'a/a.gus': 'project A { revision = "1" }\nuse "../b" as B\nlet seen = B.common\nlet blind = hidden',
      'b/b.gus': 'project B { revision = "1" }\nuse "../a" as A\nlet common = 7\nlet back = A.seen',
    };
    expect(value(files, 'x')).toBe(7);
    expect(() => value(files, 'y')).toThrow();
    expect(() => value(files, 'z')).toThrow();
  });

  test('projects that use each other end', () => {
    const files = {
      'craft/project.gus':
        'project Craft { revision = "1" }\nuse "../house" as House\nlet mine = 3\nmaterial Own { E = 1 GPa }\nlet x = House.theirs',
      'house/house.gus':
        'project House { revision = "1" }\nuse "../craft" as Craft\nlet theirs = Craft.mine + mine + Craft.Own.E / 1 GPa',
    };
    const project = open(files, {}, 'craft');
    const found = project.view.evaluation.valueOf(project.namespace.root, 'x');
    expect(found?.kind === 'quantity' && project.view.evaluation.number(found.node)).toBe(7);
  });
});

describe('kinds of a library', () => {
  const lug = `${USE}let knock_down = 0.01\npart Left is Lug { width = 10 mm   t = 2 mm }\n`;

  test('their requirements are those of the parts that are made of them, with the names of the library', () => {
    const project = open(with_(lug));
    const results = project.view.verification.index.requirements.map(entity => [
      entity.label,
      project.view.verification.result(entity).governing?.margin,
    ]);
    // By hand: 900 N / (10 mm × 2 mm) = 45 MPa against 0.5 × 200 MPa.
    expect(results).toEqual([['LUG-A/Left', expect.closeTo(100 / 45 - 1, 9)]]);
  });

  test('what is written in the part sees the project', () => {
    const project = open(
      with_(`${lug}let own = 3 mm\npart Right is Lug { width = own   t = own   let k = knock_down }`),
    );
    const right = project.namespace.entities.get('Right')!;
    const { evaluation } = project.view;
    const number = (name: string) => {
      const found = evaluation.valueOf(right, name);
      return found?.kind === 'quantity' ? evaluation.number(found.node) : null;
    };
    expect([number('k'), number('stress')]).toEqual([0.01, expect.closeTo(100e6, 3)]);
  });

  test('a part that calls a formula of its kind keeps what its own names mean', () => {
    const project = open({
      'project.gus': 'use "house"\nlet c = 1\npart P is K { let own = f(2) + c   let other = c + f(2) }',
      'house/house.gus': 'project H { revision = "1" }\nlet c = 10\nkind K { let f(x) = c * x }',
    });
    const part = project.namespace.entities.get('P')!;
    const { evaluation } = project.view;
    for (const name of ['own', 'other']) {
      const found = evaluation.valueOf(part, name);
      expect(found?.kind === 'quantity' && evaluation.number(found.node), name).toBe(21);
    }
  });
});

describe('what stays with a library', () => {
  const project = open(with_(`project Craft { revision = "A" }\n${USE}requirement R-1 "It shall." { check 1 <= 2 }`));

  test('its project, requirements, evidence, parts and configurations', () => {
    expect(project.projectEntity?.name).toBe('Craft');
    expect(project.view.verification.index.requirements.map(({ label }) => label)).toEqual(['R-1']);
    expect(project.configurations.map(({ name }) => name)).toEqual([null]);
    expect(project.namespace.ofKind('part')).toEqual([]);
    expect(project.namespace.ofKind('evidence')).toEqual([]);
    expect(project.libraries).toMatchObject([{ name: 'House', project: 'House', revision: '2.3', path: 'house' }]);
  });

  test('nothing is found of what the project does not use of it', () => {
    expect(project.files.filter(file => file.startsWith('house')).flatMap(file => project.findings(file))).toEqual([]);
  });

  test('what is wrong in it is found in its file', () => {
    const files = with_(USE, { 'house/wrong.gus': 'let broken = 3 mm + 2 kg' });
    expect(messages(files, 'cannot-add')).toEqual([expect.stringMatching(/^house\/wrong.gus: /)]);
  });

  test.each([
    ['a parent', `${USE}requirement R-1 "It shall." { parent HSE-001   check 1 <= 2 }`],
    ['what fills a slot', `${USE}part Bus { slot payload = Sample }`],
    ['a part by the name of the library', `${USE}let x = House.Sample.t`],
  ])('%s that stays there is missed', (_, text) => {
    expect(findingsOf(with_(text)).some(({ severity, file }) => severity === 'error' && file === 'project.gus')).toBe(
      true,
    );
  });
});

describe('where a use leads', () => {
  const problems = (files: Files): string[] => messages(files, 'library-missing');

  test('to a single file, whose folder stays away', () => {
    const files = with_('use "house/units.gus" as Units\nlet x = 3 chunk', { 'house/units.gus': 'unit chunk = 2 mm' });
    expect(value(files, 'x')).toBeCloseTo(0.006, 12);
  });

  test('to a file and the folder around it: one library', () => {
    const files = with_('use "house/a.gus" as A\nuse "house" as House\nlet x = A.one + House.one + one', {
      'house/a.gus': 'let one = 1',
    });
    expect(value(files, 'x')).toBe(3);
    expect(open(files).libraries).toHaveLength(1);
  });

  test.each([
    ['nothing', 'use "hause"', 'there is no .gus file in the folder hause'],
    ['no such file', 'use "house/steel.gus"', 'there is no file house/steel.gus'],
    ['an absolute path', 'use "/etc/house"', 'a library is named by a path'],
    ['a drive', 'use "C:/house"', 'a library is named by a path'],
    ['itself', 'use "."', 'need no use'],
    ['a folder of its own', 'use "tray"', 'need no use'],
  ])('%s', (_, text, message) => {
    const files = with_(`${text}\nlet x = 1`, { 'tray/tray.gus': 'part Tray { t = 1 mm }' });
    expect(problems(files)).toEqual([expect.stringContaining(message)]);
  });

  test('a backslash gets a fix, whatever it would stand for', () => {
    const files = with_('use "..\\\\house\\\\new"\nlet x = 1');
    expect(messages(files, 'path-backslash')).toEqual([
      'project.gus: "..\\\\house\\\\new" is read by one system alone. Write / between folders: "../house/new".',
    ]);
  });

  test('a word in a comment or a text brings nothing in', () => {
    const project = open(
      with_('// use "house"\n/*\nuse "house"\n*/\nlet note = "\nuse house"\nproject Craft { revision = "use" }'),
    );
    expect(project.libraries).toEqual([]);
  });
});

describe('a pin', () => {
  const hash = open(with_(USE)).libraries[0]!.hash!;
  const pinned = (pin: string, house = HOUSE): Files => ({
    'project.gus': `use "house" as House pin "${pin}"\nlet x = House.knock_down`,
    'house/house.gus': house,
  });

  test.each([
    ['the revision', pinned('2.3')],
    ['the content', pinned(hash)],
    ['the content with other line ends', pinned(hash, HOUSE.replaceAll('\n', '\r\n'))],
    ['the content with a mark of its encoding', pinned(hash, `\uFEFF${HOUSE}`)],
  ])('of %s holds', (_, files) => {
    expect(messages(files, 'library-pin')).toEqual([]);
  });

  test.each([
    ['another revision', pinned('2.2'), 'House was pinned at 2.2 and is 2.3 now'],
    ['other content', pinned(hash, `${HOUSE}\nlet more = 1`), `House was pinned at ${hash} and is `],
    ['no revision', pinned('2.3', 'project House { date = 2027-01-01 }\nlet knock_down = 1'), 'states no revision'],
    ['no project block', pinned('2.3', HOUSE.replace(/^project.*$/m, '')), 'need no use'],
  ])('of %s is told', (_, files, message) => {
    expect(
      findingsOf(files)
        .map(finding => finding.message)
        .join('\n'),
    ).toContain(message);
  });

  describe('of content with data', () => {
    const files = (pin: string, loads: string): Files => ({
      'project.gus': `use "house" as House pin "${pin}"\nlet x = House.Loads`,
      'house/house.gus': 'project House { }\ntable Loads = file("loads.csv") { force as N "F [N]" }\n',
      'house/loads.csv': loads,
    });
    const pin = open(files('2.3', 'F [N]\n900\n')).libraries[0]!.hash!;

    test('holds for the same data in another layout', () => {
      expect(messages(files(pin, 'case;F [N]\r\na;900.0\r\n'), 'library-pin')).toEqual([]);
    });

    test('is told for other data', () => {
      expect(messages(files(pin, 'F [N]\n901\n'), 'library-pin')).toHaveLength(1);
    });

    test('waits for data that were not read yet', () => {
      const project = new Project({ today: '2027-06-01' });
      setSources(project, new Map(Object.entries(files(pin, '')).filter(([path]) => path.endsWith('.gus'))), '');
      project.update();
      project.updateProjectFindings();
      expect(project.libraries[0]!.hash).toBe(null);
      expect(project.findings('project.gus').map(({ code }) => code)).not.toContain('library-pin');
    });
  });

  test('is taken by a fix', () => {
    const project = open(pinned('2.2'));
    const finding = project.findings('project.gus').find(({ code }) => code === 'library-pin')!;
    expect(
      'project.gus' in { [finding.file]: 1 } && pinned('2.2')['project.gus']!.slice(finding.start, finding.end),
    ).toBe('"2.2"');
  });
});

test('names of sources and libraries that Windows does not take are told', () => {
  const files = {
    'project.gus': 'use "nul" as House\nproject Craft { }\nlet x = House.a\n',
    'nul/house.gus': 'project House { }\nlet a = 1\n',
    'aux.gus': 'let b = 2\n',
  };
  expect(messages(files, 'file-name')).toEqual([
    'aux.gus: aux.gus can\'t be used on Windows, where "aux.gus" is the device AUX. Give it another name.',
    'nul/house.gus: nul/house.gus can\'t be used on Windows, where "nul" is the device NUL. Give it another name.',
  ]);
});

describe('an override of a value of a library', () => {
  const files = with_(`${USE}let x = House.Alloy.E\nconfiguration Soft { House.Alloy.E = 35 GPa }\n`);

  test('counts in its configuration and is told', () => {
    const project = open(files);
    const { evaluation } = project.view;
    const found = evaluation.valueOf(project.namespace.root, 'x');
    expect(found?.kind === 'quantity' && evaluation.number(found.node)).toBe(35e9);
    expect(messages(files, 'library-override')).toEqual(['project.gus: Soft overrides House.Alloy.E of House.']);
  });
});
