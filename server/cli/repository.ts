/**
 * What revision a folder stands on, read from the files of its repository. No program is started and no setting of the
 * repository is read, since either could run what a stranger put there: docs/decisions/0013-revisions-without-git.md.
 */
import type { FileHandle } from 'node:fs/promises';
import { open, readdir, readFile, stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { inflateSync } from 'node:zlib';

/** Beyond these a repository is damaged, or made to keep a reader busy. */
const MOST_BYTES = 64 * 2 ** 20;
const MOST_OBJECT_BYTES = 16 * 2 ** 20;
const MOST_PACKS = 1000;
const MOST_STEPS = 100;
/** Bytes that data which doesn't compress may gain, and the header before it. */
const OVERHEAD = 1024;

const enum Kind {
  Commit = 1,
  OffsetDelta = 6,
  NamedDelta = 7,
}

/** The nearest folder upward, `folder` itself included, that is under version control. */
export async function repositoryRoot(folder: string): Promise<string | undefined> {
  for (let each = folder; ; each = dirname(each)) {
    if (await stat(join(each, '.git')).catch(() => undefined)) return each;
    if (each === dirname(each)) return undefined;
  }
}

export interface Revision {
  readonly name: string;
  /** ISO date, where it was committed. */
  readonly date: string;
}

/** Why there is no revision to tell. */
export type Unknown = 'no repository' | 'no commit' | 'closed' | 'unreadable';

/** The revision that `folder` stands on. */
export async function revisionOf(folder: string): Promise<Revision | Unknown> {
  const root = await repositoryRoot(folder);
  if (root === undefined) return 'no repository';
  try {
    const { own, common } = await foldersOf(join(root, '.git'));
    const name = await headOf(own, common);
    if (name === undefined) return 'no commit';
    return { name, date: committedOn(await new Objects(common).read(name)) };
  } catch (error) {
    return ['EACCES', 'EPERM'].includes(codeOf(error)) ? 'closed' : 'unreadable';
  }
}

/** A worktree has a folder of its own in the repository that it shares. */
async function foldersOf(path: string): Promise<{ own: string; common: string }> {
  if ((await stat(path)).isDirectory()) return { own: path, common: path };
  const [, target] = /^gitdir: (.+)$/m.exec((await textOf(path)) ?? '') ?? [];
  if (target === undefined) throw new Error(`${path} names no repository`);
  const own = resolve(dirname(path), target);
  return { own, common: resolve(own, (await textOf(join(own, 'commondir')))?.trim() ?? '') };
}

/** The name of the commit that is checked out; undefined on a branch without one. */
async function headOf(own: string, common: string): Promise<string | undefined> {
  let text: string | undefined = await textOf(join(own, 'HEAD'));
  if (text === undefined) throw new Error(`${own} is no repository`);
  for (let step = 0; step < MOST_STEPS; step++) {
    if (text === undefined) return undefined;
    const [, name, reference]: readonly string[] =
      /^(?:([0-9a-f]{40}|[0-9a-f]{64})|ref: (refs\/[^\s\0]+))\s*$/.exec(text) ?? [];
    if (name !== undefined) return name;
    // Other than loose and packed references: a repository of a kind that isn't known here.
    if (reference === undefined || reference.split('/').some(part => part.startsWith('.')))
      throw new Error(`${text} names no revision`);
    text =
      (await textOf(join(own, reference))) ??
      (await textOf(join(common, reference))) ??
      packedReference((await textOf(join(common, 'packed-refs'))) ?? '', reference);
  }
  throw new Error('The references lead in a circle');
}

function packedReference(packed: string, reference: string): string | undefined {
  const end = `${packed}\n`.indexOf(` ${reference}\n`);
  return end < 0 ? undefined : packed.slice(packed.lastIndexOf('\n', end) + 1, end);
}

function committedOn(commit: Buffer): string {
  const [header = ''] = commit.toString('utf8').split('\n\n', 1);
  const [, seconds, sign, hours, minutes] = /^committer .*> (\d{1,11}) ([+-])(\d\d)(\d\d)$/m.exec(header) ?? [];
  if (seconds === undefined) throw new Error('The commit has no date');
  const offset = (Number(hours) * 60 + Number(minutes)) * (sign === '-' ? -60 : 60);
  return new Date((Number(seconds) + offset) * 1000).toISOString().slice(0, 10);
}

/** The objects of a repository, one by one; a pack is never read whole. */
class Objects {
  private steps = 0;

  constructor(private readonly common: string) {}

  async read(name: string): Promise<Buffer> {
    // A chain of differences is as long as whoever wrote the pack likes.
    if (++this.steps > MOST_STEPS) throw new Error('The object rests on too many others');
    const own = join(this.common, 'objects');
    const others = (await textOf(join(own, 'info/alternates'))) ?? '';
    for (const store of [own, ...others.split('\n').filter(Boolean)].slice(0, MOST_STEPS)) {
      const folder = resolve(own, store);
      const object = (await looseObject(folder, name)) ?? (await this.packedObject(join(folder, 'pack'), name));
      if (object) return object;
    }
    throw new Error(`There is no object ${name}`);
  }

  private async packedObject(folder: string, name: string): Promise<Buffer | undefined> {
    const files = (await unlessMissing(readdir(folder))) ?? [];
    for (const file of files.filter(each => each.endsWith('.idx')).slice(0, MOST_PACKS)) {
      const offset = await reading(join(folder, file), index => offsetIn(index, Buffer.from(name, 'hex')));
      const pack = join(folder, file.replace(/idx$/, 'pack'));
      if (offset !== undefined) return reading(pack, handle => this.entry(handle, offset, name.length / 2));
    }
    return undefined;
  }

  /** The object that begins at `offset` of a pack. */
  private async entry(pack: FileHandle, offset: number, nameLength: number): Promise<Buffer> {
    if (++this.steps > MOST_STEPS) throw new Error('The object rests on too many others');
    const head = await bytesAt(pack, offset, OVERHEAD);
    const kind = (head[0]! >> 4) & 7;
    let at = 0;
    let size = head[0]! & 15;
    for (let shift = 4; head[at++]! & 128; shift += 7) size += (head[at]! & 127) * 2 ** shift;
    if (size > MOST_OBJECT_BYTES) throw new Error('The object is too large');
    const content = async (): Promise<Buffer> => inflated(await bytesAt(pack, offset + at, size + OVERHEAD));
    if (kind === Kind.Commit) return content();
    if (kind === Kind.NamedDelta) {
      const base = head.toString('hex', at, (at += nameLength));
      return changed(await this.read(base), await content());
    }
    if (kind !== Kind.OffsetDelta) throw new Error('The object is no commit');
    let back = head[at]! & 127;
    while (head[at++]! & 128) back = (back + 1) * 128 + (head[at]! & 127);
    if (back <= 0 || back > offset) throw new Error('The object rests on nothing');
    return changed(await this.entry(pack, offset - back, nameLength), await content());
  }
}

async function looseObject(folder: string, name: string): Promise<Buffer | undefined> {
  const path = join(folder, name.slice(0, 2), name.slice(2));
  if (!(await isFile(path, MOST_OBJECT_BYTES))) return undefined;
  const object = inflated(await readFile(path));
  return object.subarray(object.indexOf(0) + 1);
}

/** Where the object stands in the pack of this index, by bisection. */
async function offsetIn(index: FileHandle, name: Buffer): Promise<number | undefined> {
  const table = await bytesAt(index, 0, 8 + 256 * 4);
  if (table.readUInt32BE(0) !== 0xff744f63 || table.readUInt32BE(4) !== 2) return undefined;
  const upTo = (byte: number): number => (byte < 0 ? 0 : table.readUInt32BE(8 + 4 * byte));
  const names = 8 + 256 * 4;
  const offsets = names + upTo(255) * (name.length + 4);
  let [low, high] = [upTo(name[0]! - 1), upTo(name[0]!) - 1];
  while (low <= high) {
    const middle = Math.floor((low + high) / 2);
    const order = name.compare(await bytesAt(index, names + middle * name.length, name.length));
    if (order === 0) {
      const offset = (await bytesAt(index, offsets + 4 * middle, 4)).readUInt32BE();
      if (offset < 2 ** 31) return offset;
      const large = offsets + 4 * upTo(255) + 8 * (offset - 2 ** 31);
      return Number((await bytesAt(index, large, 8)).readBigUInt64BE());
    }
    if (order < 0) high = middle - 1;
    else low = middle + 1;
  }
  return undefined;
}

/** `base` with a difference applied: copies of parts of it, and bytes of its own. */
function changed(base: Buffer, delta: Buffer): Buffer {
  let at = 0;
  const length = (): number => {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = delta[at++]!;
      value += (byte & 127) * 2 ** shift;
      if (!(byte & 128)) return value;
    }
  };
  length();
  if (length() > MOST_OBJECT_BYTES) throw new Error('The object is too large');
  const parts: Buffer[] = [];
  let size = 0;
  while (at < delta.length && size <= MOST_OBJECT_BYTES) {
    const command = delta[at++]!;
    const operand = (first: number, count: number): number => {
      let value = 0;
      for (let i = 0; i < count; i++) if (command & (1 << (first + i))) value += delta[at++]! * 2 ** (8 * i);
      return value;
    };
    if (command & 128) {
      const from = operand(0, 4);
      const taken = operand(4, 3) || 0x10000;
      parts.push(base.subarray(from, from + taken));
    } else {
      parts.push(delta.subarray(at, (at += command)));
    }
    size += parts.at(-1)!.length;
  }
  return Buffer.concat(parts);
}

function inflated(bytes: Buffer): Buffer {
  return inflateSync(bytes, { maxOutputLength: MOST_OBJECT_BYTES });
}

/** A text file of the repository, where it is one. */
async function textOf(path: string): Promise<string | undefined> {
  return (await isFile(path, MOST_BYTES)) ? readFile(path, 'utf8') : undefined;
}

/** A pipe or a device would never end. */
async function isFile(path: string, most: number): Promise<boolean> {
  const information = await unlessMissing(stat(path));
  return information !== undefined && information.isFile() && information.size <= most;
}

async function unlessMissing<T>(attempt: Promise<T>): Promise<T | undefined> {
  try {
    return await attempt;
  } catch (error) {
    if (['ENOENT', 'ENOTDIR'].includes(codeOf(error))) return undefined;
    throw error;
  }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

async function reading<T>(path: string, work: (handle: FileHandle) => Promise<T>): Promise<T> {
  if (!(await isFile(path, Infinity))) throw new Error(`${path} is no file`);
  const handle = await open(path);
  try {
    return await work(handle);
  } finally {
    await handle.close();
  }
}

/** Up to `length` bytes; fewer at the end of the file. */
async function bytesAt(handle: FileHandle, position: number, length: number): Promise<Buffer> {
  const { buffer, bytesRead } = await handle.read(Buffer.alloc(length), 0, length, position);
  return buffer.subarray(0, bytesRead);
}
