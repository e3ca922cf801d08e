import { describe, expect, test } from 'vitest';
import type { CompletionItem } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'lug.gus';
const SETUP = { capabilities: { textDocument: { completion: { completionItem: { snippetSupport: true } } } } };
const PROJECT = `project Demo "Demo" { date = 2027-01-01 }
milestone CDR "Critical design review" { date = 2027-04-20 }
document GUIDE "Launch guide" { revision = "4.1" }
load Pull "Pull" { force = 900 N   temperature = 20 degC .. 40 degC }
load Push "Push" { force = -400 N   temperature = 20 degC .. 40 degC }
material Plate "Plate" {
  class = metal
  density = 2.7 g/cm^3
  ultimate = [0 degC -> 120 MPa, 50 degC -> 100 MPa] basis A source "data sheet"
}
lot L-1 of Plate { certificate = file("L-1.pdf") }
lot L-2 of Foil { certificate = file("L-2.pdf") }
factors Flight "Metal" { class = metal   tested = no   level = limit   ultimate = 1.4 }
requirement SYS-001 "The vehicle shall hold." { verify by analysis }
kind Joint "Joint" {
  given d: length, torque: torque
  needs slip, separation
  requirement JNT-SEP "It shall hold." { check separation: 1 <= d / (1 mm)   verify by analysis }
}
formula strap_stress(F: force, w: length, t: length): stress = F / (w * t)
part J1 "Joint one" is Joint { d = 4 mm   torque = 2 N*m }
`;
const PART = `part Lug "The lug" {
  material = Plate from L-1
  width = 10 mm
  t = 1.0 mm
  let stress(L) = L.force / (width * t)
  requirement LUG-001 "The lug shall carry the pull without rupture." {
    parent SYS-001
    check ultimate for L in [Pull, Push], T in knots(L.temperature): Flight.ultimate * stress(L) <= material.ultimate(T)
    verify by analysis
  }
}
`;

/** Completes where `|` stands; the text before and behind it is the document. */
async function complete(server: TestServer, file: string, text: string): Promise<CompletionItem[]> {
  const at = text.indexOf('|');
  const before = server.texts.get(file)!;
  await server.edit(file, before, text.slice(0, at) + text.slice(at + 1));
  const lines = text.slice(0, at).split('\n');
  const answer = await server.request<{ items: CompletionItem[] }>('textDocument/completion', file, {
    position: { line: lines.length - 1, character: lines.at(-1)!.length },
  });
  return [...answer.items].sort((x, y) => (x.sortText! < y.sortText! ? -1 : 1));
}
const labels = (items: readonly CompletionItem[]): string[] => items.map(item => item.label);

describe('completion', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start({ 'project.gus': PROJECT, [FILE]: PART }, SETUP),
    [FILE],
    started => {
      server = started;
    },
  );
  const at = (text: string): Promise<CompletionItem[]> => complete(server, FILE, text);
  const inPart = (statement: string): Promise<CompletionItem[]> =>
    at(PART.replace('  let stress', `  ${statement}\n  let stress`));
  const inRequirement = (statement: string): Promise<CompletionItem[]> =>
    at(PART.replace('    verify by analysis\n', `    ${statement}\n`));

  test('lengths come before anything else where a length is due', async () => {
    const items = await inPart('let gap: length = |');
    expect(labels(items).slice(0, 2)).toEqual(['t', 'width']);
    expect(labels(items).indexOf('pi')).toBeGreaterThan(labels(items).indexOf('width'));
    expect(items.find(item => item.label === 'width')).toMatchObject({ detail: '10 mm' });
  });

  test('the other side of a comparison and of a sum says what is due', async () => {
    expect(labels(await inRequirement('check 3 mm <= |')).slice(0, 2)).toEqual(['t', 'width']);
    expect(
      labels(await inRequirement('check | <= 3 mm'))
        .slice(0, 2)
        .sort(),
    ).toEqual(['t', 'width']);
    const stress = labels(await inRequirement('check 30 MPa <= |'));
    expect(stress[0]).toBe('stress');
    expect(stress.indexOf('strap_stress')).toBeLessThan(stress.indexOf('width'));
    expect(
      labels(await inRequirement('let area: area = width * |'))
        .slice(0, 2)
        .sort(),
    ).toEqual(['t', 'width']);
  });

  test('the argument of a formula says what is due', async () => {
    const items = await inPart('let s = strap_stress(F = Pull.force, w = |');
    expect(labels(items).slice(0, 2)).toEqual(['t', 'width']);
    const names = await inPart('let s = strap_stress(|');
    expect(names.slice(0, 3).map(item => [item.label, item.detail])).toEqual([
      ['F =', 'force'],
      ['w =', 'length'],
      ['t =', 'length'],
    ]);
    expect(labels(await inPart('let s = strap_stress(F = 3 N, |')).slice(0, 2)).toEqual(['w =', 't =']);
  });

  test('formulas are written with places for their parameters', async () => {
    const items = await inPart('let s = strap|');
    expect(items.find(item => item.label === 'strap_stress')).toMatchObject({
      detail: '(F: force, w: length, t: length): stress',
      insertTextFormat: 2,
      textEdit: { newText: 'strap_stress(F = ${1:F}, w = ${2:w}, t = ${3:t})' },
    });
    const library = (await inPart('let s = bending_str|')).find(item => item.label === 'bending_stress')!;
    expect(library.textEdit).toMatchObject({ newText: 'bending_stress(M = ${1:M}, b = ${2:b}, h = ${3:h})' });
    const resolved = await server.ask<CompletionItem>('completionItem/resolve', library);
    expect((resolved.documentation as { value: string }).value).toContain(
      'Greatest bending stress in a solid rectangle.',
    );
  });

  test('units of the dimension that is due, directly behind a number', async () => {
    expect(labels(await inPart('let gap: length = 12 |')).slice(0, 5)).toEqual(['mm', 'nm', 'µm', 'm', 'km']);
    const pressure = labels(await inRequirement('check stress(Pull) <= 12 |'));
    expect(pressure[0]).toBe('MPa');
    expect(pressure).not.toContain('mm');
    expect(labels(await inPart('mass = 3 |'))[0]).toBe('kg');
    expect(labels(await inPart('let anything = 3 |'))).toEqual(expect.arrayContaining(['mm', 'MPa', 'kg']));
    expect(labels(await inPart('let gap = width as |')).slice(0, 2)).toEqual(['mm', 'nm']);
  });

  test('a dot leads to what a value has', async () => {
    expect(labels(await inRequirement('check material.|'))).toEqual(expect.arrayContaining(['density', 'ultimate']));
    expect(labels(await inRequirement('check material.|'))).not.toContain('width');
    expect(labels(await inRequirement('check for L in [Pull, Push]: L.| <= 3 N')).sort()).toEqual([
      'force',
      'name',
      'temperature',
      'title',
    ]);
    expect(labels(await inRequirement('check for L in [Pull]: L.temperature.|'))).toEqual(['high', 'low']);
    // Nobody calls it: what loads have is the best guess.
    expect(labels(await inPart('let other(L) = L.|'))).toEqual(['force', 'temperature']);
    expect(labels(await at(PART.replace('L.force', 'L.|'))).sort()).toEqual(['force', 'name', 'temperature', 'title']);
    expect(labels(await inRequirement('check Lug.|'))).toEqual(expect.arrayContaining(['width', 'predicted_mass']));
  });

  test('fields that a block takes and has not yet', async () => {
    const items = await inPart('|');
    expect(labels(items)).toEqual(expect.arrayContaining(['mass', 'count', 'position', 'let', 'requirement', 'check']));
    const fields = items.filter(item => item.kind === 5).map(item => item.label);
    for (const there of ['material', 'width', 't']) expect(fields).not.toContain(there);
    expect(labels(await at('part J2 "Joint two" is Joint {\n  d = 4 mm\n  |\n}\n')).slice(0, 1)).toEqual(['torque']);
    expect(labels(await at('evidence TR-1 for LUG-001 {\n  date = 2027-01-01\n  |\n}\n')).slice(0, 3)).toEqual([
      'method',
      'report',
      'result',
    ]);
    expect(labels(await at('|\n'))).toEqual(expect.arrayContaining(['part', 'requirement', 'load', 'let']));
    expect(labels(await at('|\n'))).not.toContain('verify');
  });

  test('words that a field takes', async () => {
    expect(labels(await at('evidence TR-1 for SYS-001 {\n  method = |\n}\n'))).toEqual([
      'analysis',
      'demonstration',
      'inspection',
      'review',
      'review_of_design',
      'test',
    ]);
    expect(labels(await at('evidence TR-1 for SYS-001 {\n  date = |\n}\n'))).toEqual(['2027-01-01']);
    expect(labels(await at('part A {\n  material = |\n}\n'))).toEqual(['Plate']);
    expect(labels(await at('part A {\n  mass = 3 kg maturity |\n}\n'))).toEqual([
      'calculated',
      'estimated',
      'measured',
    ]);
  });

  test('labels behind the words that take them', async () => {
    expect(labels(await inRequirement('parent |'))).toEqual(['JNT-SEP/J1', 'SYS-001']);
    expect(labels(await at(`${PART}evidence TR-1 for SYS-001, |`))).toEqual(
      expect.arrayContaining(['LUG-001', 'SYS-001']),
    );
    expect(labels(await at(`${PART}evidence TR-1 for LUG-0|`))).toEqual(['LUG-001']);
    expect(labels(await at('part A {\n  material = Plate from |\n}\n'))).toEqual(['L-1', 'L-2']);
    expect(labels(await at('article A-1 of |'))).toEqual(expect.arrayContaining(['J1']));
    expect(labels(await inRequirement('check #SYS|'))).toEqual(['SYS-001']);
    expect(labels(await at('part A is |'))).toEqual(['Joint']);
    expect(labels(await at('part A { width = 3 mm source | }'))).toEqual(['GUIDE']);
    expect(labels(await at(`${PART}part B {\n  requirement |`))).toEqual(['LUG-002']);
  });

  test('methods, levels, articles and milestones behind verify by', async () => {
    expect(labels(await inRequirement('verify by |'))).toEqual([
      'analysis',
      'demonstration',
      'inspection',
      'review_of_design',
      'test',
    ]);
    expect(labels(await inRequirement('verify by test, |'))).not.toContain('test');
    expect(labels(await inRequirement('verify by test by |'))).toEqual(['CDR']);
    expect(labels(await inRequirement('verify by test |'))).toEqual(
      expect.arrayContaining(['by', 'on', 'qualification']),
    );
  });

  test('modes that a kind needs come first', async () => {
    const items = await at('part J2 "Two" is Joint {\n  requirement J-2 "It shall hold." {\n    check |\n  }\n}\n');
    expect(items.slice(0, 2).map(item => [item.label, item.detail])).toEqual([
      ['separation', 'needed by Joint'],
      ['slip', 'needed by Joint'],
    ]);
  });

  test('types of parameters', async () => {
    expect(labels(await at('formula f(M: |'))).toEqual(expect.arrayContaining(['torque', 'length']));
  });

  test('nothing inside a comment or a text, names inside the braces of a text', async () => {
    expect(await inPart('// wid|')).toEqual([]);
    expect(await at('part A "wid|')).toEqual([]);
    expect(labels(await at(PART.replace('without rupture.', 'over {wid|')))).toEqual(['width']);
    expect(labels(await at(PART.replace('without rupture.', 'over {wid|} without rupture.')))).toEqual(['width']);
  });

  test('works in a block that is never closed', async () => {
    expect(labels(await at('part Open "Open" {\n  height = 12 mm\n  let twice = 2 * hei|'))).toContain('height');
    expect(
      labels(
        await at(
          'part Open "Open" {\n  height = 12 mm\n  requirement O-1 "It shall." {\n    check heig|\npart Next "Next" { t = 1 mm }\n',
        ),
      ),
    ).toContain('height');
    expect(server.logged).toEqual([]);
  });
});

describe('completion on Cordgrass', () => {
  let server: TestServer;
  useServer(
    () => TestServer.startExample('cordgrass', SETUP),
    ['structure.gus'],
    started => {
      server = started;
    },
  );

  test('a stress is compared: stresses and formulas of stress first', async () => {
    const text = server.texts.get('structure.gus')!;
    const items = await complete(
      server,
      'structure.gus',
      text.replace(
        'FlightMetal.yield * sigma(L) <= material.yield(T)\n      check ultimate',
        'FlightMetal.yield * sigma(L) <= |\n      check ultimate',
      ),
    );
    const first = items.filter(item => item.sortText!.startsWith('0')).map(item => item.label);
    expect(first).toEqual(expect.arrayContaining(['sigma', 'bending_stress']));
    expect(first).not.toContain('side');
    const lengths = await complete(server, 'structure.gus', text.replace('rib = 6.0 mm ± 0.1 mm', 'rib = 6.0 mm ± |'));
    expect(lengths.filter(item => item.sortText!.startsWith('0')).map(item => item.label)).toEqual(
      expect.arrayContaining(['t', 'side']),
    );
    expect(server.logged).toEqual([]);
  });
});
