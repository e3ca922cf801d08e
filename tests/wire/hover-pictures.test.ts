/** Pictures in hovers: a sweep over temperature or cases, a spectrum; only where the editor shows pictures. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { INKS } from '../../server/reports/plots/svg.js';
import { TestServer } from '../support/server.js';

const CASES = Array.from(
  { length: 12 },
  (_, i) => `load Case${i} "Case ${i}" { force = ${300 + i} N   temperature = 20 degC .. 40 degC }`,
).join('\n');
const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull ≤ 1 kN" { force = 900 N   temperature = 20 degC .. 40 degC }
load Noise "Noise" { psd = [20 Hz -> 0.026 g0^2/Hz, 50 Hz -> 0.16 g0^2/Hz, 2000 Hz -> 0.026 g0^2/Hz] loglog }
load Blow "Blow" { shock = [100 Hz -> 20 g0, 1000 Hz -> 600 g0] loglog   level = limit }
${CASES}
let Cases = [${Array.from({ length: 12 }, (_, i) => `Case${i}`).join(', ')}]
material Plate "Plate" { ultimate = [0 degC -> 120 MPa, 30 degC -> 110 MPa, 50 degC -> 100 MPa] basis A source "data sheet" }
let sine = [5 Hz -> 10 mm, 20 Hz -> 8 mm]
part Lug "Lug" {
  material = Plate
  area = 10 mm^2
  requirement LUG-1 "The lug shall hold." {
    check warm for L in [Pull], T in knots(L.temperature): L.force / area <= material.ultimate(T)
    check each for L in Cases: L.force / area <= 100 MPa
    check once for L in [Pull]: L.force / area <= 100 MPa
    check twice for L in [Pull, Case1]: L.force / area <= 100 MPa
    check arch for T in knots(Pull.temperature): (T - 15 degC) * (45 degC - T) <= 220 K^2
    check open for L in Cases: L.force / area <= TBD MPa
    verify by analysis
  }
}
`;

const servers: TestServer[] = [];
const start = async (pictures: 'light' | 'dark' | null): Promise<TestServer> => {
  const server = await TestServer.start({ 'a.gus': TEXT }, { options: { pictures } });
  await server.open('a.gus');
  servers.push(server);
  return server;
};
afterAll(async () => {
  for (const server of servers) {
    expect(server.logged).toEqual([]);
    await server.close();
  }
});

const hover = async (server: TestServer, needle: string, offset = 1): Promise<string> =>
  (
    await server.request<{ contents: { value: string } }>('textDocument/hover', 'a.gus', {
      position: server.position('a.gus', needle, offset),
    })
  ).contents.value;
/** The plots of a hover, read back; formulas are left aside. */
const plots = (markdown: string): { label: string; svg: string }[] =>
  [...markdown.matchAll(/!\[([^\]]*)\]\(data:image\/svg\+xml;base64,([^)]*)\)/g)]
    .map(([, label, data]) => ({ label: label!, svg: Buffer.from(data!, 'base64').toString('utf8') }))
    .filter(({ label }) => label !== 'formula');

describe.each(['light', 'dark'] as const)('on a %s ground', ground => {
  let server: TestServer;
  beforeAll(async () => {
    server = await start(ground);
  });

  test('a sweep over temperature is a line with its lowest point named', async () => {
    const [plot, ...more] = plots(await hover(server, 'check warm'));
    expect(more).toEqual([]);
    // Behind the worked calculation: 105 MPa at 40 °C.
    expect(await hover(server, 'check warm')).toMatch(/\n= 105 MPa\n[^]*!\[margin over/);
    expect(plot!.svg).toMatch(/^<svg xmlns[^>]*width="420"/);
    expect(plot!.svg).toContain('Pull: +0.16');
    expect(plot!.svg.match(/<circle/g)).toHaveLength(3);
    expect(plot!.svg).toContain(INKS[ground].accent);
    expect(plot!.svg).not.toMatch(/NaN|undefined|Infinity|[^\0-\x7f]/);
  });

  test('the worst between the ends of a range is a point of the line', async () => {
    const [plot] = plots(await hover(server, 'check arch'));
    expect(plot!.svg.match(/<circle/g)).toHaveLength(3);
    expect(plot!.svg).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('many cases are bars, the lowest first', async () => {
    const [plot] = plots(await hover(server, 'check each'));
    expect(plot!.svg.match(/<rect/g)).toHaveLength(8);
    expect(plot!.svg).toContain('4 higher ones not drawn');
    expect(plot!.svg.indexOf('>Case11<')).toBeGreaterThan(0);
    expect(plot!.svg).not.toContain('>Case0<');
  });

  test('a spectrum has both axes logarithmic, on its name and on its load', async () => {
    for (const [needle, what] of [
      ['psd =', 'Noise.psd'],
      ['Noise "', 'Noise'],
      ['shock =', 'Blow.shock'],
      ['Blow "', 'Blow.shock'],
      ['sine =', 'sine'],
    ] as const) {
      const [plot] = plots(await hover(server, needle));
      expect(plot?.label, needle).toBe(`${what} over frequency`);
      expect(plot!.svg).toContain('frequency, Hz');
    }
    // 100 lies in the middle of 50 and 200 where the axis is logarithmic.
    const [noise] = plots(await hover(server, 'psd ='));
    const at = (tick: string): number =>
      Number(new RegExp(`<text x="([\\d.]+)"[^>]*>${tick}</text>`).exec(noise!.svg)![1]);
    expect((at('50') + at('200')) / 2).toBeCloseTo(at('100'), 0);
  });

  test('one or two cases, and what has no margin, are told without a picture', async () => {
    for (const needle of ['check once', 'check twice', 'check open', 'area = 10', 'Pull "', 'ultimate = ['])
      expect(plots(await hover(server, needle)), needle).toEqual([]);
  });
});

test('an editor that shows no pictures gets none, and the same words', async () => {
  const server = await start(null);
  for (const needle of ['check warm', 'check each', 'psd =', 'Noise "']) {
    const words = await hover(server, needle);
    expect(words, needle).not.toContain('data:image');
    expect(words).not.toMatch(/\n{3}/);
  }
});
