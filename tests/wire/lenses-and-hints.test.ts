import { describe, expect, test } from 'vitest';
import type { CodeLens, InlayHint } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'a.gus';
const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull" { force = -300 N .. 900 N   temperature = 20 degC }
milestone CDR "Critical design review" { date = 2027-04-20 }
/// Half of it.
formula half(x: length): length = x / 2
kind Strap "Strap" {
  given width: length
  requirement STR-1 "It shall be wide." { check width >= 9 mm   verify by analysis }
}
part Bus "Bus" {
  part S1 "One" is Strap { width = 10 mm   mass = 2 kg   let spare = half(width) }
  part S2 "Two" is Strap { width = 8 mm   mass = 1 kg }
  t = 2 mm ± 0.1 mm
  let unknown = TBD mm + t
  let ratio = t / (1 in) as %
  let near(L) = abs(L.force)
  requirement BUS-1 "It shall be thick." { check half(t) >= 0.9 mm   verify by analysis }
  requirement BUS-2 "It shall hold." { check pull for L in corners(Pull): abs(L.force) <= 950 N   verify by test on SN-1 by CDR }
  requirement BUS-3 "It shall be thin." { check unknown <= 3 mm   verify by analysis }
}
`;

const everything = { range: { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } } };

describe('lenses and hints', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start({ [FILE]: TEXT }),
    [FILE],
    started => {
      server = started;
    },
  );

  test('lenses come with statuses; masses and uses are filled in one by one', async () => {
    const all = await server.request<CodeLens[]>('textDocument/codeLens', FILE, {});
    // What may be tried is looked at in trial-choices.test.ts.
    const lenses = all.filter(({ command }) => command?.command !== 'gusset.tryValue');
    for (const { command, range } of lenses)
      expect(command === undefined).toBe(!/^...-\d$/.test(server.textAt(FILE, range)));
    const titles: Record<string, string> = {};
    for (const lens of lenses) {
      const resolved = await server.ask<CodeLens>('codeLens/resolve', lens);
      const text = server.textAt(FILE, lens.range);
      expect(resolved.command!.command).toBe(/^...-\d$/.test(text) ? 'gusset.showMarginSheet' : '');
      titles[text] = resolved.command!.title;
    }
    expect(titles).toEqual({
      half: 'used 2 times',
      'STR-1': '1 of 2 failing',
      Bus: '3 kg predicted · 1 of 5 failing',
      S1: '2 kg predicted · 1 of 1 verified',
      S2: '1 kg predicted · 1 of 1 failing',
      // Half of the least thickness, 1.9 mm, against 0.9 mm.
      'BUS-1': 'verified +0.05',
      'BUS-2': 'unverified +0.05 · Pull +force · test on SN-1 by CDR open',
      'BUS-3': 'undetermined',
    });
  });

  test('one hint a line: margins before values', async () => {
    const hints = await server.request<InlayHint[]>('textDocument/inlayHint', FILE, everything);
    expect(hints.map(hint => [hint.position.line + 1, hint.label])).toEqual([
      [11, '= 5 mm'],
      [14, '= undetermined'],
      [15, '= 7.874 %'],
      [17, '+0.05'],
      [18, '+0.05 · Pull +force'],
      [19, 'undetermined'],
    ]);
    const [first] = hints;
    expect(TEXT.split('\n')[10]!.slice(0, first!.position.character)).toMatch(/half\(width\)$/);
  });
});

test('an editor without views is told words alone', async () => {
  const server = await TestServer.start({ [FILE]: TEXT }, { options: { hasViews: false } });
  await server.open(FILE);
  for (const lens of await server.request<CodeLens[]>('textDocument/codeLens', FILE, {}))
    expect((await server.ask<CodeLens>('codeLens/resolve', lens)).command!.command).toBe('');
  await server.close();
});

test('as many hints on a line as the editor asks for', async () => {
  const text = 'let a = 2 mm\npart P "P" { let b = 2 * a   let c = 3 * a   let d = 4 * a }\n';
  for (const [most, labels] of [
    [0, []],
    [2, ['= 4 mm', '= 6 mm']],
  ] as const) {
    const server = await TestServer.start({ [FILE]: text }, { options: { inlayHintsPerLine: most } });
    await server.open(FILE);
    expect(
      (await server.request<InlayHint[]>('textDocument/inlayHint', FILE, everything)).map(hint => hint.label),
    ).toEqual(labels);
    await server.close();
  }
});

describe('Cordgrass', () => {
  let server: TestServer;
  useServer(
    () => TestServer.startExample('cordgrass'),
    ['payload.gus'],
    started => {
      server = started;
    },
  );

  test('the failing requirement says where, the library how often it is used', async () => {
    const file = [...server.texts].find(
      ([path, text]) => path.endsWith('.gus') && text.includes('requirement THM-001'),
    )![0];
    const lenses = await server.request<CodeLens[]>('textDocument/codeLens', file, {});
    const lens = lenses.find(candidate => server.textAt(file, candidate.range) === 'THM-001')!;
    const resolved = await server.ask<CodeLens>('codeLens/resolve', lens);
    expect(resolved.command!.title).toMatch(/^failing -0\.06 · Cutoff \+axial \+lateral, 45 °C/);
    const library = await server.ask<CodeLens[]>('textDocument/codeLens', {
      textDocument: { uri: 'gusset:/beams.gus' },
    });
    const used = await server.ask<CodeLens>('codeLens/resolve', library[0]!);
    expect(used.command!.title).toMatch(/^(used|not used)/);
    expect(server.logged).toEqual([]);
  });
});
