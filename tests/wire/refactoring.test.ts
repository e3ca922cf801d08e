/**
 * Refactorings over the wire: what is offered, what the text is then, and that every status and margin is as before.
 */
import { describe, expect, test } from 'vitest';
import type { CodeAction, Position } from 'vscode-languageserver-types';
import { overviewMessage, type ProjectOverview } from '../../server/protocol/overview.js';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const START = { line: 0, character: 0 };

class Desk {
  constructor(readonly server: TestServer) {}

  async offers(path: string, start: Position, end: Position = start, only = ['refactor']): Promise<CodeAction[]> {
    return this.server.request('textDocument/codeAction', path, {
      range: { start, end },
      context: { diagnostics: [], only },
    });
  }

  /** Offers for the first occurrence of `needle`; `whole`: with all of it selected. */
  at(path: string, needle: string, whole = true, offset = 0): Promise<CodeAction[]> {
    return this.offers(
      path,
      this.server.position(path, needle, offset),
      whole ? this.server.position(path, needle, needle.length) : undefined,
    );
  }

  async margins(): Promise<string[]> {
    const projects = await this.server.ask<ProjectOverview[]>(overviewMessage.method, {});
    // Inside a kind a requirement carries its part in its label.
    return projects
      .flatMap(({ requirements }) => requirements)
      .map(({ label, part, status, margin, governing, applied, allowable }) =>
        [label.replace(/\/\w+/, ''), part, status, margin, governing, applied, allowable].join(' · '),
      )
      .sort();
  }

  /** Applies an action, gives the texts it changed, and takes it back. */
  async apply(action: CodeAction): Promise<{
    readonly texts: Record<string, string>;
    readonly margins: string[];
    readonly problems: readonly string[];
  }> {
    const texts: Record<string, string> = {};
    const before = new Map(this.server.texts);
    for (const [uri, edits] of Object.entries(action.edit!.changes!)) {
      const path = uri.slice(this.server.uri('').length + 1);
      texts[path] = this.server.edited(path, edits);
      await this.server.edit(path, before.get(path)!, texts[path]!);
    }
    const margins = await this.margins();
    const problems: string[] = [];
    for (const path of Object.keys(texts)) {
      const found = this.server
        .findings(path)
        .filter(finding => finding.severity === 1 && finding.code !== 'failing-margin');
      problems.push(...found.map(finding => String(finding.message)));
    }
    for (const path of Object.keys(texts)) await this.server.edit(path, texts[path]!, before.get(path)!);
    await this.margins();
    return { texts, margins, problems };
  }

  async keeps(action: CodeAction): Promise<Record<string, string>> {
    const before = await this.margins();
    const { texts, margins, problems } = await this.apply(action);
    expect(margins).toEqual(before);
    expect(problems).toEqual([]);
    return texts;
  }
}

const titled = (actions: readonly CodeAction[], title: string): CodeAction => {
  const found = actions.find(action => action.title === title);
  expect(found, `${title} among ${actions.map(action => action.title).join(' | ')}`).toBeDefined();
  return found!;
};

const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull" { force = 900 N   temperature = 20 degC .. 40 degC }
material Plate "Plate" { ultimate = [0 degC -> 120 MPa, 50 degC -> 100 MPa] basis A source "data sheet" }
part Lug "Lug" {
  material = Plate
  width = 25.4 mm
  t = 1.0 mm
  slack = 0.5 mm ± 0.1 mm
  let area = width * t
  let twice = 2 * slack
  let stress(L) = L.force / (width * t)
  requirement LUG-1 "The lug shall carry the pull with {spare} to spare." {
    let spare = t - slack
    let limit = (t)
    check ultimate for L in [Pull], T in knots(L.temperature): stress(L) / (2 * 1.5) <= material.ultimate(T)
    check size: area^2 >= 10 mm^4
    check gap: t - twice >= -5 mm
    check cold: 21 degC <= 313.15 K + 0 degC
    check wide: 2 * (width + t) >= limit
    verify by analysis
  }
}
`;

describe('refactorings', () => {
  let server: TestServer;
  let desk: Desk;
  useServer(
    () => TestServer.start({ 'a.gus': TEXT, 'b.gus': 'let other = 1 mm\nlet far = other + 2 mm // kept\n' }),
    ['a.gus', 'b.gus'],
    started => {
      server = started;
      desk = new Desk(server);
    },
  );

  test('a unit is converted exactly, and back', async () => {
    const offers = await desk.at('a.gus', '25.4', false);
    const texts = await desk.keeps(titled(offers, 'Convert to 1 in'));
    expect(texts['a.gus']).toBe(TEXT.replace('25.4 mm', '1 in'));
    expect(offers.map(offer => offer.title)).toEqual(
      expect.arrayContaining(['Convert to 0.0254 m', 'Convert to 25400 µm']),
    );
    expect(offers.map(offer => offer.title)).not.toContain('Convert to 25.4 mm');
    for (const offer of offers) await desk.keeps(offer);
    await server.edit('a.gus', '25.4 mm', '1 in');
    expect((await desk.keeps(titled(await desk.at('a.gus', '1 in', false), 'Convert to 25.4 mm')))['a.gus']).toBe(TEXT);
    await server.edit('a.gus', '1 in', '25.4 mm');
  });

  test('a temperature stays a point', async () => {
    expect((await desk.at('a.gus', '21 degC', false)).map(offer => offer.title)).toEqual(['Convert to 69.8 degF']);
    await desk.keeps(titled(await desk.at('a.gus', '21 degC', false), 'Convert to 69.8 degF'));
  });

  test('a let of a selection', async () => {
    const texts = await desk.keeps(titled(await desk.at('a.gus', 'width + t'), 'Extract let extracted'));
    expect(texts['a.gus']).toBe(
      TEXT.replace('    check wide: 2 * (width + t)', '    let extracted = width + t\n    check wide: 2 * (extracted)'),
    );
  });

  test('names that the check binds become parameters', async () => {
    const texts = await desk.keeps(titled(await desk.at('a.gus', 'stress(L) / (2 * 1.5)'), 'Extract let extracted(L)'));
    expect(texts['a.gus']).toContain(
      '    let extracted(L) = stress(L) / (2 * 1.5)\n    check ultimate for L in [Pull], T in knots(L.temperature): extracted(L) <= material.ultimate(T)\n',
    );
    const table = await desk.keeps(titled(await desk.at('a.gus', 'material.ultimate(T)'), 'Extract let extracted(T)'));
    expect(table['a.gus']).toContain('    let extracted(T) = material.ultimate(T)\n');
  });

  test('a comparison is not hidden behind a name, nor half of an expression', async () => {
    expect((await desk.at('a.gus', 'area^2 >= 10 mm^4')).map(offer => offer.title)).toEqual([]);
    expect((await desk.at('a.gus', 'T in knots')).map(offer => offer.title)).toEqual([]);
  });

  test('a let is written out where it is used', async () => {
    const texts = await desk.keeps(titled(await desk.at('a.gus', 'area = width', false), 'Inline let area'));
    expect(texts['a.gus']).toBe(TEXT.replace('  let area = width * t\n', '').replace('area^2', '(width * t)^2'));
    const limit = await desk.keeps(titled(await desk.at('a.gus', '>= limit', false, 4), 'Inline let limit'));
    expect(limit['a.gus']).toBe(TEXT.replace('    let limit = (t)\n', '').replace('>= limit', '>= t'));
    const title = await desk.keeps(titled(await desk.at('a.gus', '{spare}', false, 2), 'Inline let spare'));
    expect(title['a.gus']).toContain('with {(t - slack)} to spare');
    const call = await desk.keeps(titled(await desk.at('a.gus', 'stress(L) / ', false, 2), 'Inline let stress'));
    expect(call['a.gus']).toContain('T in knots(L.temperature): (L.force / (width * t)) / (2 * 1.5) <= ');
  });

  test("what varies or is nobody's to write out stays", async () => {
    await server.edit('a.gus', 'let twice = 2 * slack', 'let twice = 2 * 0.5 mm ± 0.1 mm');
    expect(
      (await desk.at('a.gus', 'twice >= ', false, 2))
        .map(offer => offer.title)
        .filter(title => title.startsWith('Inline')),
    ).toEqual([]);
    await server.edit('a.gus', 'let twice = 2 * 0.5 mm ± 0.1 mm', 'let twice = 2 * slack');
    await server.edit('a.gus', '    let limit = (t)', '    let width = 3 mm\n    let limit = (t)');
    expect(
      (await desk.at('a.gus', 'area^2', false, 2))
        .map(offer => offer.title)
        .filter(title => title.startsWith('Inline')),
    ).toEqual([]);
    await server.edit('a.gus', '    let width = 3 mm\n', '');
  });

  test('a formula of a selection, with dimensions', async () => {
    const texts = await desk.keeps(
      titled(await desk.at('a.gus', 'L.force / (width * t)'), 'Extract formula extracted'),
    );
    expect(texts['a.gus']).toBe(
      `${TEXT.replace('L.force / (width * t)', 'extracted(force = L.force, width = width, t = t)')}\nformula extracted(force: force, width: length, t: length): pressure = force / (width * t)\n`,
    );
    const table = await desk.keeps(
      titled(await desk.at('a.gus', 'stress(L) / (2 * 1.5)'), 'Extract formula extracted'),
    );
    expect(table['a.gus']).toContain('formula extracted(stress: pressure): pressure = stress / (2 * 1.5)');
  });

  test('a declaration goes to another file, a let out of its block', async () => {
    const moved = await desk.keeps(titled(await desk.at('a.gus', 'Plate "Plate"', false), 'Move Plate to b.gus'));
    expect(moved['a.gus']).toBe(TEXT.replace(/material Plate "Plate".*\n/, ''));
    expect(moved['b.gus']).toMatch(/\nmaterial Plate "Plate" \{ .*\}\n$/);
    const value = await desk.keeps(titled(await desk.at('b.gus', 'far', false), 'Move far to a.gus'));
    expect(value['a.gus']).toBe(`${TEXT}\nlet far = other + 2 mm // kept\n`);
    const out = await desk.keeps(titled(await desk.at('a.gus', 'limit = ', false), 'Move limit out to Lug'));
    expect(out['a.gus']).toBe(
      TEXT.replace('    let limit = (t)\n', '').replace(
        '  requirement LUG-1',
        '  let limit = (t)\n  requirement LUG-1',
      ),
    );
    // It reads what only its own block has.
    expect((await desk.at('a.gus', 'area = width', false)).map(offer => offer.title)).toEqual(['Inline let area']);
  });

  test('only what was asked for', async () => {
    const start = server.position('a.gus', 'width + t');
    const end = server.position('a.gus', 'width + t', 9);
    expect((await desk.offers('a.gus', start, end, ['quickfix'])).filter(offer => offer.kind !== 'quickfix')).toEqual(
      [],
    );
    expect((await desk.offers('a.gus', start, end, ['refactor.extract'])).map(offer => offer.kind)).toEqual([
      'refactor.extract',
      'refactor.extract',
    ]);
    expect(await desk.offers('a.gus', start, end, ['source.organizeImports'])).toEqual([]);
    expect(await desk.offers('a.gus', START, START)).toEqual([]);
  });
});

const FAMILY = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull" { force = 900 N   temperature = 20 degC }
material Plate "Plate" { ultimate = 110 MPa basis A source "data sheet" }
requirement SYS-1 "The vehicle shall be lifted." { verify by test }
part Bus "Vehicle" {
  let spare = 2 mm
  // The lug that is lifted first.
  part Lug "Lug" {
    drawing = "D-1" // issued
    material = Plate
    width = 25.4 mm   t = 1.0 mm ± 0.1 mm   area = width * t   length = 30 mm
    holes = [4 mm, 5 mm]
    /// Stress over the
    /// whole section.
    let stress(L) = L.force / area // tension only

    requirement LUG-1 "The {name} shall
        carry the pull." {
      parent SYS-1
      let largest = max(holes)
      check ultimate for L in [Pull]: stress(L) * width /
        (width - largest) <= material.ultimate
      verify by analysis, test
    }
    position = (0 mm, 0 mm, t / 2)
  } // end of the lug
  part Flat "Flat" { t = 3 mm   requirement FLT "The {name} shall be thick." { let least = 2 mm   check t >= least   verify by analysis } }
  part Taken "Taken" { t = 3 mm   requirement TKN-1 "The {name} shall be thick." { check t >= spare   verify by analysis } }
  part Nested "Nested" { part Inner { t = 3 mm }   requirement NST-1 "The {name} shall be thick." { check Inner.t >= 2 mm   verify by analysis } }
  part Itself "Itself" { t = 3 mm   requirement SLF-1 "The {name} shall be thick." { check Itself.t >= 2 mm   verify by analysis } }
  part Bare "Bare" { t = 3 mm   mass = 1 kg }
}
requirement TOP-1 "Both shall be thick." { parent SYS-1   check #LUG-1.largest <= 5 mm   check Flat.FLT.least <= 5 mm   verify by analysis }
evidence TR-1 for LUG-1, FLT "Pull test" { method = test   date = 2026-12-01   result = pass }
configuration Wide "Wide" { Lug.area = 40 mm^2   Lug.width = 30 mm }
`;

describe('a kind of a part', () => {
  let server: TestServer;
  let desk: Desk;
  useServer(
    () =>
      TestServer.start({
        'a.gus': FAMILY,
        'b.gus': '/// Another one.\npart Deck "Deck" {\n  t = 3 mm\n  let half = t / 2\n}\n',
      }),
    ['a.gus', 'b.gus'],
    started => {
      server = started;
      desk = new Desk(server);
    },
  );
  const offers = async (needle: string): Promise<string[]> =>
    (await desk.at('a.gus', needle, false, 5)).map(({ title }) => title).filter(title => title.startsWith('Make'));

  test('what is calculated and required goes into the kind, with its comments; numbers stay, and labels name the part', async () => {
    const made = titled(await desk.at('a.gus', 'part Lug', false, 5), 'Make a kind of Lug');
    expect(made.kind).toBe('refactor.extract');
    const text = (await desk.keeps(made))['a.gus']!;
    expect(text.slice(text.indexOf('kind '), text.indexOf('part Bus'))).toBe(`kind LugKind "Lug" {
  given width: length, t: length, holes: list
  material = Plate
  area = width * t
  /// Stress over the
  /// whole section.
  let stress(L) = L.force / area // tension only

  requirement LUG-1 "The {name} shall
        carry the pull." {
    parent SYS-1
    let largest = max(holes)
    check ultimate for L in [Pull]: stress(L) * width /
      (width - largest) <= material.ultimate
    verify by analysis, test
  }
}

`);
    expect(text.slice(text.indexOf('  // The lug'), text.indexOf('  part Flat')))
      .toBe(`  // The lug that is lifted first.
  part Lug "Lug" is LugKind {
    drawing = "D-1" // issued
    width = 25.4 mm   t = 1.0 mm ± 0.1 mm   length = 30 mm
    holes = [4 mm, 5 mm]
    position = (0 mm, 0 mm, t / 2)
  } // end of the lug
`);
    expect(text).toContain('check #LUG-1/Lug.largest <= 5 mm');
    expect(text).toContain('evidence TR-1 for LUG-1/Lug, FLT "Pull test"');
  });

  test('a second part of the kind stands beside the first, each with its own margin', async () => {
    const made = titled(await desk.at('a.gus', 'part Lug', false, 5), 'Make a kind of Lug');
    const text = server.edited('a.gus', made.edit!.changes![server.uri('a.gus')]!);
    await server.edit(
      'a.gus',
      FAMILY,
      `${text}part Thin "Thin lug" is LugKind { width = 20 mm   t = 0.5 mm   holes = [4 mm] }\n`,
    );
    expect(
      (await desk.margins()).filter(line => line.startsWith('LUG-1')).map(line => /[+-]\d\.\d+/.exec(line)?.[0]),
    ).toEqual(['+3.07', '-0.03']);
    await server.edit('a.gus', server.texts.get('a.gus')!, FAMILY);
    await desk.margins();
  });

  test('on one line, and where a label is a plain name', async () => {
    const text = (await desk.keeps(titled(await desk.at('a.gus', 'part Flat', false, 5), 'Make a kind of Flat')))[
      'a.gus'
    ]!;
    expect(text).toContain(
      `kind FlatKind "Flat" {\n  given t: length\n  requirement FLT "The {name} shall be thick." { let least = 2 mm   check t >= least   verify by analysis }\n}\n\npart Bus`,
    );
    expect(text).toContain('  part Flat "Flat" is FlatKind { t = 3 mm }\n');
    expect(text).toContain('for LUG-1, FLT "');
    const deck = await desk.keeps(titled(await desk.at('b.gus', 'Deck', false), 'Make a kind of Deck'));
    expect(deck['b.gus']).toBe(
      'kind DeckKind "Deck" {\n  given t: length\n  let half = t / 2\n}\n\n/// Another one.\npart Deck "Deck" is DeckKind {\n  t = 3 mm\n}\n',
    );
  });

  test('not where a name would mean something else in a kind, nor where nothing can be shared', async () => {
    expect(await offers('part Lug')).toEqual(['Make a kind of Lug']);
    for (const part of ['Taken', 'Nested', 'Itself', 'Bare']) expect(await offers(`part ${part}`), part).toEqual([]);
    // A requirement of a kind is reached through a part, or by a label that names one.
    expect(await offers('part Flat')).toEqual(['Make a kind of Flat']);
    await server.edit('a.gus', 'Flat.FLT.least <= 5 mm', 'FLT.least <= 5 mm');
    expect(await offers('part Flat')).toEqual([]);
    await server.edit('a.gus', 'FLT.least <= 5 mm', 'Flat.FLT.least <= 5 mm');
    await server.edit('a.gus', 'part Flat "Flat" {', 'part Flat "Flat" is Other {');
    expect(await offers('part Flat')).toEqual([]);
    await server.edit('a.gus', 'part Flat "Flat" is Other {', 'part Flat "Flat" {');
    // An editor that asks by itself, wherever the caret goes, is not kept busy with it.
    const start = server.position('a.gus', 'part Lug', 5);
    const automatic = await server.request<CodeAction[]>('textDocument/codeAction', 'a.gus', {
      range: { start, end: start },
      context: { diagnostics: [], only: ['refactor'], triggerKind: 2 },
    });
    expect(automatic.map(({ title }) => title)).toEqual([]);
  });
});

describe('refactorings of Cordgrass', () => {
  let server: TestServer;
  let desk: Desk;
  useServer(
    () => TestServer.startExample('cordgrass'),
    [],
    async started => {
      server = started;
      for (const path of server.texts.keys()) if (path.endsWith('.gus')) await server.open(path);
      desk = new Desk(server);
    },
  );

  test.each([
    ['structure.gus', 'P_cr = ', 'Inline let P_cr'],
    ['structure.gus', 'span = 95', 'Inline let span'],
    ['structure.gus', 'sling(L) = abs', 'Inline let sling'],
    ['structure.gus', 'D(T) = material', 'Inline let D'],
    ['structure.gus', 'factor = 4', 'Inline let factor'],
    ['structure.gus', 'stiff = 13', 'Inline let stiff'],
    ['structure.gus', '12.0 mm step', 'Convert to 0.012 m'],
    ['structure.gus', 'arm = 8 mm', 'Move arm out to Bus.Primary.SeparationRing'],
    ['structure.gus', 'SeparationRing "', 'Make a kind of SeparationRing'],
    ['structure.gus', 'Longeron "', 'Make a kind of Longeron'],
    ['structure.gus', 'SidePanel "', 'Make a kind of SidePanel'],
    ['battery.gus', 'BatteryTray "', 'Make a kind of BatteryTray'],
  ])('%s: %s: %s', async (path, needle, title) => {
    await desk.keeps(titled(await desk.at(path, needle, false), title));
  });

  test.each([
    ['structure.gus', 'pi / 2 * (1 / a^2 + 1 / b^2) * sqrt(D * a * b / (mass + loaded))', 'Extract let extracted'],
    ['structure.gus', 'abs(Bus.predicted_mass * L.axial) / 3 / cos(30 deg)', 'Extract let extracted(L)'],
    ['structure.gus', 'pi / 2 * (1 / a^2 + 1 / b^2) * sqrt(D * a * b / (mass + loaded))', 'Extract formula extracted'],
    ['structure.gus', 'FlightMetal.ultimate * sigma(L)', 'Extract let extracted(L)'],
    ['structure.gus', 'knockdown * 4 * pi^2 * D(T) / b^2', 'Extract formula extracted'],
  ])('%s: %s: %s', async (path, needle, title) => {
    await desk.keeps(titled(await desk.at(path, needle), title));
  });
});
