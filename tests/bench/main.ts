/**
 * Measures every line of the budget table in docs/architecture.md and prints it as JSON: value, budget, and their ratio
 * (1 or less holds).
 */
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync, createWriteStream } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Project } from '../../server/project/project.js';
import { call, contextOf } from '../support/features.js';
import { openScenario, scenariosBelow } from '../support/fixture.js';
import { TestServer } from '../support/server.js';
import { generateFan, generateProject, generateParts, generateSweeps } from './generate.js';
import { valueKey } from '../../server/engine/evaluation/cell-key.js';

interface Row {
  name: string;
  value: number;
  unit: string;
  budget: number;
  ratio: number;
  note?: string;
}
const rows: Row[] = [];
const only = process.argv.slice(2).filter(argument => !argument.startsWith('--'));
const wanted = (name: string): boolean => only.length === 0 || only.some(part => name.includes(part));

function record(name: string, value: number, unit: string, budget: number, note?: string, moreIsBetter = false): void {
  rows.push({
    name,
    value: Number(value.toPrecision(4)),
    unit,
    budget,
    ratio: Number((moreIsBetter ? budget / value : value / budget).toPrecision(3)),
    ...(note ? { note } : {}),
  });
  process.stderr.write(`${name}: ${value.toPrecision(4)} ${unit} (budget ${budget})\n`);
}

const percentile = (values: readonly number[], p: number): number =>
  [...values].sort((x, y) => x - y)[Math.min(values.length - 1, Math.floor(p * values.length))]!;
const median = (values: readonly number[]): number => percentile(values, 0.5);

async function timed(times: number, run: (i: number) => Promise<void> | void, warm = 5): Promise<number[]> {
  const result: number[] = [];
  for (let i = 0; i < times + warm; i++) {
    const start = performance.now();
    await run(i);
    if (i >= warm) result.push(performance.now() - start);
  }
  return result;
}

function openProject(files: Readonly<Record<string, string>>): Project {
  const project = new Project({ today: '2027-01-01' });
  for (const [path, text] of Object.entries(files)) project.setText(path, text);
  project.update();
  project.updateProjectFindings();
  for (const file of project.files) project.findings(file);
  return project;
}

// ---- over the protocol ----------------------------------------------------------------------------------------------

/** Starts a server over the files and waits for the findings of the last of them. */
async function openAll(files: Readonly<Record<string, string>>, seconds: number[]): Promise<TestServer> {
  const start = performance.now();
  const server = await TestServer.start({ ...files, 'last.gus': 'let zz = 1 mm + 1 kg\n' });
  await server.until('last.gus', diagnostics => diagnostics.length > 0);
  seconds.push((performance.now() - start) / 1000);
  return server;
}

async function overTheWire(): Promise<void> {
  const files = generateProject(10_000);
  const starts: number[] = [];
  let server = await openAll(files, starts);
  for (let i = 0; i < 2; i++) {
    await server.close();
    server = await openAll(files, starts);
  }
  record(
    'start to all findings, 10,000 requirements',
    median(starts),
    's',
    2.5,
    `median of ${starts.length}; process start, reading and evaluation included`,
  );

  const file = 'parts-0050.gus';
  await server.open(file);
  await server.until(file, () => true, 1).catch(() => undefined);
  const thickness = /t = (\d\.\d) mm/.exec(files[file]!)![1]!;
  let [now, next] = [`t = ${thickness} mm`, 't = 0.3 mm'];
  const leaf = await timed(
    60,
    async () => {
      const version = await server.edit(file, now, next);
      await server.until(file, () => true, version);
      [now, next] = [next, now];
    },
    10,
  );
  record(
    'keystroke to findings of the edited file, 10,000 requirements, p95',
    percentile(leaf, 0.95),
    'ms',
    60,
    `p50 ${median(leaf).toFixed(1)} ms`,
  );

  await server.open('shared.gus');
  let [mild, severe] = ['axial = 9.0 g0', 'axial = 90.0 g0'];
  const everyFile = Object.keys(files).filter(path => path !== 'shared.gus');
  const hub = await timed(
    30,
    async () => {
      const before = server.published.length;
      await server.edit('shared.gus', mild, severe);
      const left = new Set(everyFile.map(path => server.uri(path)));
      await server.until(everyFile[everyFile.length - 1]!, () => {
        for (const entry of server.published.slice(before)) left.delete(entry.uri);
        return left.size === 0;
      });
      [mild, severe] = [severe, mild];
    },
    4,
  );
  record(
    "an edit that reaches every requirement to all files' findings, p95",
    percentile(hub, 0.95),
    'ms',
    250,
    `p50 ${median(hub).toFixed(1)} ms; every file's findings change`,
  );
  await server.close();
}

async function oneLargeFile(): Promise<void> {
  let requirements = 200;
  while (generateParts(0, requirements).split('\n').length < 2_000) requirements += 2;
  const text = generateParts(0, requirements);
  const server = await TestServer.start({ 'shared.gus': generateProject(0)['shared.gus']!, 'large.gus': text });
  await server.open('large.gus');
  await server.until('large.gus', () => true, 1).catch(() => undefined);
  let [now, next] = [/t = (\d\.\d) mm/.exec(text)![0]!, 't = 0.3 mm'];
  const edits = await timed(
    60,
    async () => {
      const version = await server.edit('large.gus', now, next);
      await server.until('large.gus', () => true, version);
      [now, next] = [next, now];
    },
    10,
  );
  record(
    'single edit in a file of 2,000 lines, p95',
    percentile(edits, 0.95),
    'ms',
    80,
    `${text.split('\n').length} lines; p50 ${median(edits).toFixed(1)} ms`,
  );
  await server.close();
}

async function sweptRows(): Promise<void> {
  const text = generateSweeps(300, 20_000);
  const server = await TestServer.start({ 'sweeps.gus': text });
  await server.open('sweeps.gus');
  await server.until('sweeps.gus', () => true, 1).catch(() => undefined);
  let [now, next] = ['let scale = 1.00', 'let scale = 40.0'];
  const edits = await timed(40, async () => {
    const version = await server.edit('sweeps.gus', now, next);
    await server.until('sweeps.gus', () => true, version);
    [now, next] = [next, now];
  });
  record(
    '300 requirements, 20,000 swept rows: an edit that moves every row to all findings, p95',
    percentile(edits, 0.95),
    'ms',
    150,
    `p50 ${median(edits).toFixed(1)} ms`,
  );
  await server.close();
}

async function millionRows(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-bench-'));
  const file = createWriteStream(join(folder, 'run.csv'));
  file.write('PID,SUBCASE,Max VM [MPa]\n');
  for (let i = 0; i < 1_000_000; i++)
    if (!file.write(`P${i},Liftoff,${(i % 400) + 0.25}\n`))
      await new Promise(resolve => file.once('drain', () => resolve(undefined)));
  await new Promise<void>(resolve => file.end(() => resolve()));
  const results = `results FE = file("run.csv") { part as part "PID"   case as load "SUBCASE"   vm as MPa "Max VM [MPa]" }
load Liftoff "Lift-off" { axial = 1 g0 }
project Million "Million" { date = 2027-01-01 }
requirement R-1 "The part shall hold." { check FE.vm(part = "P777", case = Liftoff) <= 100 MPa   verify by analysis }
`;
  writeFileSync(join(folder, 'results.gus'), results);
  writeFileSync(join(folder, 'lug.gus'), generateParts(0, 100).replaceAll('Alloy', 'Alloy'));
  writeFileSync(
    join(folder, 'shared.gus'),
    generateProject(0)
      ['shared.gus']!.replace(/project Bench[\s\S]*?\n}\n/, '')
      .replace(
        /load Liftoff.*\n/,
        'load Ascent "Ascent" { axial = 7.5 g0   lateral = 2.8 g0   temperature = 20 degC }\n',
      )
      .replace('[Liftoff', '[Ascent'),
  );
  const server = await TestServer.startIn(folder);
  const start = performance.now();
  await server.open('lug.gus');
  const keystrokes: number[] = [];
  let read = NaN;
  const done = server
    .until('results.gus', diagnostics => diagnostics.some(diagnostic => diagnostic.code === 'failing-margin'))
    .then(() => (read = (performance.now() - start) / 1000));
  let [now, next] = [/t = (\d\.\d) mm/.exec(server.texts.get('lug.gus')!)![0]!, 't = 0.3 mm'];
  while (read !== read && performance.now() - start < 30_000) {
    const before = performance.now();
    const version = await server.edit('lug.gus', now, next);
    await server.until('lug.gus', () => true, version);
    keystrokes.push(performance.now() - before);
    [now, next] = [next, now];
    await new Promise(resolve => setTimeout(resolve, 20));
  }
  await done;
  record('results CSV of 1,000,000 rows: read to its findings', read, 's', 4);
  record(
    'an unrelated keystroke while a million rows are read, p95',
    percentile(keystrokes.slice(2), 0.95),
    'ms',
    60,
    `${keystrokes.length} keystrokes`,
  );
  await server.close();
  rmSync(folder, { recursive: true, force: true });
}

// ---- in the process -------------------------------------------------------------------------------------------------

async function values(): Promise<void> {
  const project = openProject(generateProject(10_000));
  const { evaluation } = project.view;
  const all = await timed(200, () => evaluation.recalculate(), 30);
  record(
    're-evaluating all values of 10,000 requirements',
    median(all),
    'ms',
    5,
    `30,000 rows; p95 ${percentile(all, 0.95).toFixed(2)} ms`,
  );
}

async function fan(): Promise<void> {
  const project = openProject({ 'fan.gus': generateFan(10_000) });
  const { evaluation } = project.view;
  const cell = evaluation.cell(project.namespace.root, valueKey('input'))!;
  const edits = await timed(200, i => evaluation.poke(cell, 0.0015 + i * 1e-6), 30);
  record(
    'one input with 10,000 dependants, re-evaluated',
    median(edits),
    'ms',
    1,
    `p95 ${percentile(edits, 0.95).toFixed(2)} ms`,
  );
}

/** A mix as a project has it: bending, plate frequency, preload, interaction. The same text for both. */
const FORMULAS: readonly string[] = [
  '6 * (force * span / 8) / (width * height^2)',
  'pi / 2 * (1 / span^2 + 1 / width^2) * sqrt(stiffness / surface)',
  'torque / (0.16 * diameter) * (1 - 0.025) + 2.1e-6 * force / 1e-6',
  'sqrt((force / (width * height))^2 + 3 * (torque / (width * height * diameter))^2)',
];
const INPUTS: Readonly<Record<string, string>> = {
  force: '100 N',
  width: '24 mm',
  height: '3.2 mm',
  span: '180 mm',
  torque: '9 N*m',
  diameter: '6 mm',
  stiffness: '7.7 N*m',
  surface: '12.7 kg/m^2',
};

async function againstMathjs(): Promise<void> {
  // Loaded here, so that its own memory is in no other figure.
  const { all, create } = await import('mathjs');
  const lines = [
    ...Object.entries(INPUTS).map(([name, value]) => `let ${name} = ${value}`),
    ...FORMULAS.map((formula, i) => `let f${i} = ${formula}`),
  ];
  const project = openProject({ 'formula.gus': `project F "F" { date = 2027-01-01 }\n${lines.join('\n')}\n` });
  const { evaluation } = project.view;
  const cells = FORMULAS.map((_, i) => evaluation.cell(project.namespace.root, valueKey(`f${i}`))!);
  const math = create(all!);
  const scope = Object.fromEntries(
    Object.entries(INPUTS).map(([name, value]) => [name, math.unit(value.replace('N*m', 'N m'))]),
  );
  const compiled = FORMULAS.map(formula => math.compile(formula));
  cells.forEach((cell, i) => {
    const ours = evaluation.number(cell.outputs[0]!);
    const theirs = (compiled[i]!.evaluate(scope) as { toSI(): { value: number } }).toSI().value;
    if (Math.abs(ours / theirs - 1) > 1e-12) throw new Error(`${FORMULAS[i]}: ${ours} against ${theirs}`);
  });
  // A loop for each, since one loop for both would be compiled for neither.
  const oursOnce = (rounds: number): number => {
    const start = performance.now();
    for (let i = 0; i < rounds; i++) arena.run(from[i & 3]!, to[i & 3]!);
    return ((performance.now() - start) / rounds) * 1e6;
  };
  const theirsOnce = (rounds: number): number => {
    const start = performance.now();
    for (let i = 0; i < rounds; i++) compiled[i & 3]!.evaluate(scope);
    return ((performance.now() - start) / rounds) * 1e6;
  };
  const { arena } = evaluation;
  const from = cells.map(cell => cell.code);
  const to = cells.map(cell => cell.end);
  // Side by side, so that a machine that slows down meanwhile slows both.
  const pairs = Array.from({ length: 9 }, () => ({ ours: oursOnce(2_000_000), theirs: theirsOnce(10_000) })).slice(2);
  const { ours, theirs } = pairs.sort((x, y) => x.theirs / x.ours - y.theirs / y.ours)[pairs.length >> 1]!;
  record(
    'evaluating a formula, times as fast as mathjs with units',
    theirs / ours,
    '×',
    300,
    `mix of four: ${ours.toFixed(1)} ns against ${theirs.toFixed(0)} ns`,
    true,
  );
}

function large(count: number): { seconds: number; megabytes: number } {
  const run = spawnSync(
    process.execPath,
    ['--expose-gc', '--max-old-space-size=8000', process.argv[1]!, `--project=${count}`],
    { encoding: 'utf8', maxBuffer: 1e8 },
  );
  return JSON.parse(run.stdout.trim().split('\n').pop()!) as { seconds: number; megabytes: number };
}

function growth(): void {
  const sizes = [1_000, 3_000, 10_000, 30_000, 100_000].map(count => ({ count, ...large(count) }));
  const note = sizes
    .map(({ count, seconds, megabytes }) => `${count}: ${seconds.toFixed(2)} s, ${megabytes.toFixed(0)} MB`)
    .join('; ');
  const last = sizes[sizes.length - 1]!;
  record('100,000 requirements: start', last.seconds, 's', 45, note);
  record('100,000 requirements: heap', (last.megabytes * 1e6) / 2 ** 30, 'GiB', 2);
}

/** Answers that an editor waits for at each keystroke, on 10,000 requirements: the slowest of them. */
const ANSWERS = [
  ['textDocument/completion', '<= material.ultimate(', 3],
  ['textDocument/completion', '<= material.ultimate(', 12],
  ['textDocument/completion', '  verify by', 0],
  ['textDocument/completion', 'carried * L.axial', 4],
  ['textDocument/signatureHelp', 'ultimate(L.temperature', 9],
  ['textDocument/hover', 'stress(L) =', 1],
  ['textDocument/definition', 'stress(L) <=', 1],
  ['textDocument/inlayHint', 'part P', 0],
  ['textDocument/codeLens', 'part P', 0],
  ['textDocument/documentHighlight', 'width =', 1],
  ['textDocument/documentHighlight', 'L.axial', 3],
  ['textDocument/codeAction', 'stress(L) <=', 1],
] as const;

async function answers(): Promise<void> {
  const file = 'parts-0050.gus';
  const files = generateProject(10_000);
  const project = openProject(files);
  const medians: [string, number][] = [];
  for (const [method, needle, offset] of ANSWERS) {
    const context = contextOf(project, file);
    const position = context.lines.position(files[file]!.indexOf(needle, 5_000) + offset);
    const end = method === 'textDocument/codeAction' ? position : { line: position.line + 60, character: 0 };
    const params = { position, range: { start: position, end }, context: { triggerKind: 2 } };
    const times: number[] = [];
    for (let run = 0; run < 10; run++) {
      // After a keystroke nothing is known any more that stands on what the names meant before.
      project.update();
      const start = performance.now();
      await call(method, context, params);
      times.push(performance.now() - start);
    }
    medians.push([`${method} at ${needle} + ${offset}`, median(times)]);
  }
  const note = medians.map(([name, time]) => `${name}: ${time.toFixed(1)} ms`).join('; ');
  record(
    'the slowest answer at a keystroke, 10,000 requirements',
    Math.max(...medians.map(([, time]) => time)),
    'ms',
    30,
    note,
  );
}

/** Whether what varies is bounded in every row of every check, with the thicknesses of the generated parts varying. */
function bracketed(): void {
  const toleranced = Object.entries(generateProject(1_000)).map(([path, text]) => [
    path,
    text.replace(/ t = \d\.\d mm$/gm, '$& ± 0.05 mm'),
  ]);
  const projects = [
    ['Cordgrass', openScenario(scenariosBelow('examples').find(({ name }) => name === 'cordgrass')!)],
    ['generated', openProject(Object.fromEntries(toleranced) as Record<string, string>)],
  ] as const;
  for (const [name, project] of projects) {
    const { evaluation, verification } = project.view;
    const checks = verification.index.requirements.flatMap(requirement => verification.result(requirement).checks);
    const varying = checks.filter(({ cell }) => {
      for (let i = cell.start; i < cell.end; i++) if (evaluation.arena.tolerant[i] !== 0) return true;
      return false;
    });
    const bounded = varying.filter(({ rows }) => rows.every(row => row.bounded));
    const share = (100 * bounded.length) / varying.length;
    const note = `${bounded.length} of ${varying.length} that vary; ${checks.length} checks in all`;
    record(`checks bracketed within their budget, ${name}`, share, '%', 100, note, true);
  }
}

/** What the machine itself does with a fixed piece of general work: figures of two machines compare by it. */
async function machine(): Promise<void> {
  const texts = Array.from({ length: 20_000 }, (_, i) => createHash('sha256').update(String(i)).digest('hex'));
  const work = (): void => {
    const records = JSON.parse(JSON.stringify(texts.map((text, i) => ({ text, i })))) as { text: string; i: number }[];
    records.sort((x, y) => (x.text < y.text ? -1 : 1));
    const hash = createHash('sha256');
    for (const { text } of records) hash.update(text);
    if (hash.digest('hex').length !== 64) throw new Error('no hash');
  };
  record('the machine itself: hashes, a sort and JSON of 20,000 records', median(await timed(20, work)), 'ms', 15);
}

async function wholeProcess(): Promise<void> {
  const run = (): Promise<void> =>
    new Promise(resolve =>
      spawn(process.execPath, ['out/cli.mjs', 'check', 'examples/cordgrass', '--format', 'json'], {
        stdio: 'ignore',
      }).once('exit', () => resolve()),
    );
  const times = await timed(8, run, 1);
  record('gusset check examples/cordgrass, whole process', median(times) / 1000, 's', 0.7);
}

const argument = process.argv.find(text => text.startsWith('--project='));
if (argument) {
  const start = performance.now();
  const project = openProject(generateProject(Number(argument.slice('--project='.length))));
  const seconds = (performance.now() - start) / 1000;
  (globalThis as { gc?: () => void }).gc?.();
  console.log(
    JSON.stringify({
      seconds,
      megabytes: process.memoryUsage().heapUsed / 1e6 + process.memoryUsage().arrayBuffers / 1e6,
      files: project.files.length,
    }),
  );
} else {
  const measurements: [string, () => Promise<void> | void][] = [
    ['machine', machine],
    ['wire', overTheWire],
    ['large-file', oneLargeFile],
    ['rows', sweptRows],
    ['million', millionRows],
    ['values', values],
    ['answers', answers],
    ['fan', fan],
    ['mathjs', againstMathjs],
    ['growth', growth],
    ['process', wholeProcess],
    ['bracketed', bracketed],
  ];
  for (const [name, measure] of measurements) if (wanted(name)) await measure();
  console.log(JSON.stringify(rows, null, 2));
}
