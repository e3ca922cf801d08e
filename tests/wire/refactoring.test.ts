/** Refactorings over the wire: what is offered, what the text is then, and that every status and margin is as before. */
import { describe, expect, test } from 'vitest';
import type { CodeAction, Position } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const START = { line: 0, character: 0 };

class Desk {
  constructor(readonly server: TestServer) {}

  async offers(path: string, start: Position, end: Position = start, only = ['refactor']): Promise<CodeAction[]> {
    return this.server.request('textDocument/codeAction', path, { range: { start, end }, context: { diagnostics: [], only } });
  }

  /** Offers for the first occurrence of `needle`; `whole`: with all of it selected. */
  at(path: string, needle: string, whole = true, offset = 0): Promise<CodeAction[]> {
    return this.offers(path, this.server.position(path, needle, offset), whole ? this.server.position(path, needle, needle.length) : undefined);
  }

  async margins(): Promise<string[]> {
    const symbols = await this.server.connection.sendRequest<{ name: string; kind: number; containerName: string }[]>('workspace/symbol', { query: '' });
    return symbols.filter(symbol => symbol.kind === 22).map(symbol => `${symbol.name} ${symbol.containerName}`).sort();
  }

  /** Applies an action, gives the texts it changed, and takes it back. */
  async apply(action: CodeAction): Promise<{ readonly texts: Record<string, string>; readonly margins: string[]; readonly problems: readonly string[] }> {
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
      const found = this.server.findings(path).filter(finding => finding.severity === 1 && finding.code !== 'failing-margin');
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
  useServer(() => TestServer.start({ 'a.gus': TEXT, 'b.gus': 'let other = 1 mm\nlet far = other + 2 mm // kept\n' }), ['a.gus', 'b.gus'], started => {
    server = started;
    desk = new Desk(server);
  });

  test('a unit is converted exactly, and back', async () => {
    const offers = await desk.at('a.gus', '25.4', false);
    const texts = await desk.keeps(titled(offers, 'Convert to 1 in'));
    expect(texts['a.gus']).toBe(TEXT.replace('25.4 mm', '1 in'));
    expect(offers.map(offer => offer.title)).toEqual(expect.arrayContaining(['Convert to 0.0254 m', 'Convert to 25400 µm']));
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
    expect(texts['a.gus']).toBe(TEXT.replace('    check wide: 2 * (width + t)', '    let extracted = width + t\n    check wide: 2 * (extracted)'));
  });

  test('names that the check binds become parameters', async () => {
    const texts = await desk.keeps(titled(await desk.at('a.gus', 'stress(L) / (2 * 1.5)'), 'Extract let extracted(L)'));
    expect(texts['a.gus']).toContain('    let extracted(L) = stress(L) / (2 * 1.5)\n    check ultimate for L in [Pull], T in knots(L.temperature): extracted(L) <= material.ultimate(T)\n');
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

  test('what varies or is nobody\'s to write out stays', async () => {
    await server.edit('a.gus', 'let twice = 2 * slack', 'let twice = 2 * 0.5 mm ± 0.1 mm');
    expect((await desk.at('a.gus', 'twice >= ', false, 2)).map(offer => offer.title).filter(title => title.startsWith('Inline'))).toEqual([]);
    await server.edit('a.gus', 'let twice = 2 * 0.5 mm ± 0.1 mm', 'let twice = 2 * slack');
    await server.edit('a.gus', '    let limit = (t)', '    let width = 3 mm\n    let limit = (t)');
    expect((await desk.at('a.gus', 'area^2', false, 2)).map(offer => offer.title).filter(title => title.startsWith('Inline'))).toEqual([]);
    await server.edit('a.gus', '    let width = 3 mm\n', '');
  });

  test('a formula of a selection, with dimensions', async () => {
    const texts = await desk.keeps(titled(await desk.at('a.gus', 'L.force / (width * t)'), 'Extract formula extracted'));
    expect(texts['a.gus']).toBe(`${TEXT.replace('L.force / (width * t)', 'extracted(force = L.force, width = width, t = t)')}\nformula extracted(force: force, width: length, t: length): pressure = force / (width * t)\n`);
    const table = await desk.keeps(titled(await desk.at('a.gus', 'stress(L) / (2 * 1.5)'), 'Extract formula extracted'));
    expect(table['a.gus']).toContain('formula extracted(stress: pressure): pressure = stress / (2 * 1.5)');
  });

  test('a declaration goes to another file, a let out of its block', async () => {
    const moved = await desk.keeps(titled(await desk.at('a.gus', 'Plate "Plate"', false), 'Move Plate to b.gus'));
    expect(moved['a.gus']).toBe(TEXT.replace(/material Plate "Plate".*\n/, ''));
    expect(moved['b.gus']).toMatch(/\nmaterial Plate "Plate" \{ .*\}\n$/);
    const value = await desk.keeps(titled(await desk.at('b.gus', 'far', false), 'Move far to a.gus'));
    expect(value['a.gus']).toBe(`${TEXT}\nlet far = other + 2 mm // kept\n`);
    const out = await desk.keeps(titled(await desk.at('a.gus', 'limit = ', false), 'Move limit out to Lug'));
    expect(out['a.gus']).toBe(TEXT.replace('    let limit = (t)\n', '').replace('  requirement LUG-1', '  let limit = (t)\n  requirement LUG-1'));
    // It reads what only its own block has.
    expect((await desk.at('a.gus', 'area = width', false)).map(offer => offer.title)).toEqual(['Inline let area']);
  });

  test('only what was asked for', async () => {
    const start = server.position('a.gus', 'width + t');
    const end = server.position('a.gus', 'width + t', 9);
    expect((await desk.offers('a.gus', start, end, ['quickfix'])).filter(offer => offer.kind !== 'quickfix')).toEqual([]);
    expect((await desk.offers('a.gus', start, end, ['refactor.extract'])).map(offer => offer.kind)).toEqual(['refactor.extract', 'refactor.extract']);
    expect(await desk.offers('a.gus', start, end, ['source.organizeImports'])).toEqual([]);
    expect(await desk.offers('a.gus', START, START)).toEqual([]);
  });
});

describe('refactorings of Cordgrass', () => {
  let server: TestServer;
  let desk: Desk;
  useServer(() => TestServer.startExample('cordgrass'), [], async started => {
    server = started;
    for (const path of server.texts.keys()) if (path.endsWith('.gus')) await server.open(path);
    desk = new Desk(server);
  });

  test.each([
    ['structure.gus', 'P_cr = ', 'Inline let P_cr'], ['structure.gus', 'span = 95', 'Inline let span'], ['structure.gus', 'sling(L) = abs', 'Inline let sling'],
    ['structure.gus', 'D(T) = material', 'Inline let D'], ['structure.gus', 'factor = 4', 'Inline let factor'], ['structure.gus', 'stiff = 13', 'Inline let stiff'],
    ['structure.gus', '12.0 mm step', 'Convert to 0.012 m'], ['structure.gus', 'arm = 8 mm', 'Move arm out to Bus.Primary.SeparationRing'],
  ])('%s: %s: %s', async (path, needle, title) => {
    await desk.keeps(titled(await desk.at(path, needle, false), title));
  });

  test.each([
    ['structure.gus', 'pi / 2 * (1 / a^2 + 1 / b^2) * sqrt(D * a * b / (mass + loaded))', 'Extract let extracted'], ['structure.gus', 'abs(Bus.predicted_mass * L.axial) / 3 / cos(30 deg)', 'Extract let extracted(L)'],
    ['structure.gus', 'pi / 2 * (1 / a^2 + 1 / b^2) * sqrt(D * a * b / (mass + loaded))', 'Extract formula extracted'], ['structure.gus', 'FlightMetal.ultimate * sigma(L)', 'Extract let extracted(L)'],
    ['structure.gus', 'knockdown * 4 * pi^2 * D(T) / b^2', 'Extract formula extracted'],
  ])('%s: %s: %s', async (path, needle, title) => {
    await desk.keeps(titled(await desk.at(path, needle), title));
  });
});
