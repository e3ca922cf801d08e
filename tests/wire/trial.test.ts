/** What a trial keeps, tells and finds. */
import { describe, expect, test } from 'vitest';
import type { Sheet, TrialState, Worked } from '../../server/protocol/sheet.js';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

let server: TestServer;
useServer(
  () => TestServer.startExample('cordgrass'),
  ['thermal.gus'],
  started => {
    server = started;
  },
);

const BRACKET = 'Bus.Radiator.RadiatorBracket';
const ask = <T>(method: string, params: object): Promise<T> =>
  server.request<T>(`gusset/${method}`, 'thermal.gus', params);
const trial = (...values: (readonly [string, string])[]): Promise<TrialState> =>
  ask('trial', { values: values.map(([name, text]) => ({ name, text })) });
const sheet = (): Promise<Sheet> => ask('sheet', { known: null });
const row = async (requirement: string): Promise<Sheet['rows'][number]> =>
  (await sheet()).rows.find(each => each.requirement === requirement)!;
const zero = async (name: string, requirement: string): Promise<{ text: string | null; message: string }> =>
  ask('zeroMargin', { name, row: (await row(requirement)).id });
const edits = async (): Promise<string[]> =>
  Object.values((await ask<{ changes: Record<string, { newText: string }[]> }>('applyTrial', {})).changes)
    .flat()
    .map(({ newText }) => newText);

describe('the tolerance of what is written', () => {
  test.each([
    ['4.4 mm', '4.4 mm ± 0.15 mm', ['4.4 mm ± 0.15 mm']],
    ['4 mm + 0.4 mm', '(4 mm + 0.4 mm) ± 0.15 mm', ['(4 mm + 0.4 mm) ± 0.15 mm']],
    ['4.4 mm ± 0.3 mm', '4.4 mm ± 0.3 mm', ['4.4 mm ± 0.3 mm']],
  ])('%s is tried and applied as %s', async (text, full, written) => {
    const { values, problems } = await trial([`${BRACKET}.t`, text]);
    expect(problems).toEqual([]);
    expect(values[0]).toMatchObject({ text, full, written: '3.7 mm ± 0.15 mm' });
    expect(await edits()).toEqual(written);
    await trial();
  });

  test('goes into the margin: it is that of the text with the tolerance in it', async () => {
    await trial([`${BRACKET}.t`, '4.4 mm']);
    const { tried } = await row('THM-001');
    await trial();
    await server.edit('thermal.gus', '3.7 mm ±', '4.4 mm ±');
    expect((await row('THM-001')).marginText).toBe(tried!.marginText);
    await server.edit('thermal.gus', '4.4 mm ±', '3.7 mm ±');
  });

  test('is told where something calculated is tried without it', async () => {
    const { values } = await trial([`${BRACKET}.t`, `${BRACKET}.width / 4`]);
    expect(values[0]!.notes.join()).toContain('without the tolerance ± 0.15 mm');
    await trial();
  });
});

describe('a trial', () => {
  test('tells what it makes of requirements, of several values at once', async () => {
    await trial([`${BRACKET}.t`, '4.4 mm'], ['Bus.Battery.BatteryTray.t', '0.4 mm']);
    const { statuses, rows } = await sheet();
    expect(statuses).toContainEqual({ requirement: 'THM-001', from: 'failing', to: 'unverified' });
    expect(statuses.filter(({ to }) => to === 'failing').map(({ requirement }) => requirement)).toContain('BAT-002');
    expect(rows.find(each => each.requirement === 'THM-001')!.tried!.status).toBe('unverified');
    expect(
      rows.filter(each => each.tried?.marginText === each.marginText && each.tried.status === each.status),
    ).toEqual([]);
    await trial();
  });

  test('keeps what is said of a value: a mass its maturity', async () => {
    const { problems } = await trial([`${BRACKET}.mass`, '16 g']);
    expect(problems).toEqual([]);
    const { mass } = await sheet();
    // Four brackets, each a gram more, and what is measured grows by nothing or by little.
    expect(mass.tried! - mass.predicted!).toBeGreaterThan(0.0039);
    expect(mass.tried! - mass.predicted!).toBeLessThan(0.006);
    await trial();
  });

  test('says that a measured mass does not follow a dimension', async () => {
    const { values } = await trial([`${BRACKET}.t`, '4.4 mm'], ['Bus.Battery.BatteryTray.t', '3 mm']);
    expect(values.map(({ notes }) => notes)).toEqual([
      [`The mass of ${BRACKET}, 15 g, was measured: it does not follow t.`],
      [],
    ]);
    await trial();
  });
});

describe('the value of zero margin', () => {
  test('is one at which the check holds, and a little less fails', async () => {
    const { text, message } = await zero(`${BRACKET}.t`, 'THM-001');
    expect(message).toBe(`The margin of THM-001 ultimate is zero at ${text} and holds above it.`);
    await trial([`${BRACKET}.t`, text!]);
    expect((await row('THM-001')).tried).toMatchObject({ passes: true, marginText: '+0.00' });
    const less = `${(parseFloat(text!) - 0.002).toFixed(3)} mm`;
    await trial([`${BRACKET}.t`, less]);
    expect((await row('THM-001')).tried?.passes ?? false).toBe(false);
    await trial();
  });

  test('is looked for beside what else is tried', async () => {
    const alone = await zero(`${BRACKET}.t`, 'THM-001');
    await trial([`${BRACKET}.width`, '20 mm']);
    const beside = await zero(`${BRACKET}.t`, 'THM-001');
    expect(parseFloat(beside.text!)).toBeLessThan(parseFloat(alone.text!));
    await trial();
  });

  test('is none where the margin does not turn in the range', async () => {
    expect(await zero(`${BRACKET}.count`, 'PRP-002')).toEqual({
      text: null,
      message: 'PRP-002 wall fails at every value between 0.4 and 40: no margin there is zero.',
    });
  });
});

test('a row is worked out with the value that each input takes where it governs', async () => {
  const worked = await ask<Worked>('worked', { row: (await row('THM-001')).id });
  expect(worked.sides.map(({ steps }) => steps.at(-1))).toEqual(['23.09 MPa', '21.74 MPa']);
  expect(worked.inputs[0]).toMatchObject({ name: 't', value: '3.55 mm', stated: '3.7 mm ± 0.15 mm' });
});
