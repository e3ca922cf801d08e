/**
 * Random edits of Cordgrass over the wire for hours: what a server holds and how long it takes must not grow. Prints a
 * row a thousand edits.
 */
import { once } from 'node:events';
import { parseArgs } from 'node:util';
import { TestServer } from '../support/server.js';
import { Random } from './property.js';
import { isSource, randomEdit, type Folder } from './random-edits.js';

/** Edits between two rows, and after how many of them all texts are as they were at first. */
const ROW = 1_000;
const WAY = 5;
/** Rows before anything is held against the others, and how much the last third may lie above the first. */
const WARMING = 2;
const MOST_GROWTH = 1.1;

/**
 * Loaded by the process and by the thread that evaluates: the one passes the question on, the other answers with what
 * it holds once its garbage is gone.
 */
const GAUGE = `
import { BroadcastChannel, isMainThread } from "node:worker_threads";
const channel = new BroadcastChannel("gauge");
channel.unref();
if (isMainThread) {
  process.on("message", () => channel.postMessage("gauge"));
  channel.onmessage = ({ data }) => process.send(data);
} else channel.onmessage = () => { gc(); channel.postMessage(process.memoryUsage()); };
`;

interface Row {
  readonly edits: number;
  /** Objects, numbers outside of them, and all that the process has of the system, in megabytes. */
  readonly heap: number;
  readonly buffers: number;
  readonly resident: number;
  /** From an edit to the findings of its file, in milliseconds. */
  readonly p50: number;
  readonly p95: number;
}

const { values } = parseArgs({
  options: { edits: { type: 'string', default: '30000' }, seed: { type: 'string', default: '1' } },
});
const most = Number(values.edits);
const random = new Random(Number(values.seed));
const server = await TestServer.startExample('cordgrass', {
  node: ['--expose-gc', '--import', `data:text/javascript,${encodeURIComponent(GAUGE)}`],
});
const home: Folder = new Map([...server.texts].filter(([path]) => isSource(path)));
for (const path of home.keys()) await server.open(path);
await server.settled();

const rows: Row[] = [];
let edits = 0;
while (edits < most) rows.push(await row());
await server.close();
const [held, p95] = [growth(({ heap, buffers }) => heap + buffers), growth(({ p95 }) => p95)];
console.log(`Last third over first: held ${held.toFixed(3)}, p95 ${p95.toFixed(3)}.`);
if (server.logged.length > 0) console.error(server.logged.join('\n'));
process.exitCode = held <= MOST_GROWTH && server.logged.length === 0 ? 0 : 1;

async function row(): Promise<Row> {
  const times: number[] = [];
  while (times.length < ROW) {
    let folder = home;
    for (let i = 0; i < WAY; i++)
      for (const next of randomEdit(random, folder)) {
        if ([...home.keys()].some(path => !next.has(path))) continue;
        folder = next;
        times.push(...(await bring(next)));
      }
    times.push(...(await bring(home)));
  }
  edits += times.length;
  await server.settled();
  const { heapUsed, external, rss } = await gauge();
  times.sort((x, y) => x - y);
  const told: Row = {
    edits,
    heap: Number((heapUsed / 1e6).toFixed(2)),
    buffers: Number((external / 1e6).toFixed(2)),
    resident: Math.round(rss / 1e6),
    p50: Number(times[Math.floor(times.length * 0.5)]!.toFixed(1)),
    p95: Number(times[Math.floor(times.length * 0.95)]!.toFixed(1)),
  };
  console.log(JSON.stringify(told));
  return told;
}

/** Brings the documents to other texts, one by one. How long the findings of each took. */
async function bring(folder: Folder): Promise<number[]> {
  const times: number[] = [];
  for (const path of home.keys()) {
    const text = folder.get(path)!;
    if (text === server.texts.get(path)) continue;
    const start = performance.now();
    const version = await server.change(path, text);
    await server.until(path, () => true, version);
    times.push(performance.now() - start);
    server.published.length = 0;
  }
  return times;
}

async function gauge(): Promise<NodeJS.MemoryUsage> {
  const answer = once(server.child, 'message') as Promise<[NodeJS.MemoryUsage]>;
  server.child.send('gauge');
  return (await answer)[0];
}

function growth(of: (row: Row) => number): number {
  const settled = rows.slice(WARMING);
  const third = Math.ceil(settled.length / 3);
  const mean = (some: readonly Row[]): number => some.reduce((sum, next) => sum + of(next), 0) / some.length;
  return mean(settled.slice(-third)) / mean(settled.slice(0, third));
}
