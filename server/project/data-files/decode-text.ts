/** The WHATWG decoder, which every platform has and the language's own library does not declare. */
declare const TextDecoder: new (
  label: string,
  options?: { fatal?: boolean },
) => {
  decode(bytes: Uint8Array, options?: { stream?: boolean }): string;
};

export interface DecodedText {
  readonly text: string;
  /** Whether the file began with a byte order mark, which `text` no longer holds. */
  readonly byteOrderMark: boolean;
}

export interface EncodingProblem {
  readonly kind: 'binary' | 'utf-16' | 'not-utf-8';
  /** One-based line of the first byte that does not fit; null where the whole file doesn't. */
  readonly line: number | null;
  /** A sentence that follows the file's name. */
  readonly message: string;
}

/** Reads bytes as UTF-8, strictly: a wrong guess would put wrong characters beside right numbers. */
export function decodeText(bytes: Uint8Array): DecodedText | EncodingProblem {
  let text = '';
  const steps = decodeInSteps(bytes, bytes.length);
  for (;;) {
    const step = steps.next();
    if (step.done)
      return step.value ?? { text: withLineFeeds(text), byteOrderMark: startsWith(bytes, [0xef, 0xbb, 0xbf]) };
    text += step.value;
  }
}

/** A carriage return alone ends a line, as in editors; no offset moves. */
export function withLineFeeds(text: string): string {
  return text.includes('\r') ? text.replace(/\r(?!\n)/g, '\n') : text;
}

/** As `decodeText`, a piece of text for every `stepSize` bytes; a problem ends it. A byte order mark is left out. */
export function* decodeInSteps(bytes: Uint8Array, stepSize: number): Generator<string, EncodingProblem | undefined> {
  const foreign = foreignFormat(bytes);
  if (foreign) return foreign;
  const decoder = new TextDecoder('utf-8', { fatal: true });
  for (let start = 0; start < bytes.length; start += stepSize) {
    const piece = bytes.subarray(start, start + stepSize);
    const zero = piece.indexOf(0);
    if (zero >= 0) return holdsZero(bytes, start + zero);
    try {
      yield decoder.decode(piece, { stream: start + stepSize < bytes.length });
    } catch {
      return notUtf8(bytes);
    }
  }
  return undefined;
}

function foreignFormat(bytes: Uint8Array): EncodingProblem | undefined {
  if (startsWith(bytes, [0x50, 0x4b, 0x03, 0x04])) {
    return {
      kind: 'binary',
      line: null,
      message: 'is a zip archive, perhaps a spreadsheet workbook (.xlsx). Export its sheet as CSV in UTF-8.',
    };
  }
  if (startsWith(bytes, [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1])) {
    return {
      kind: 'binary',
      line: null,
      message: 'is an office document, perhaps a spreadsheet workbook (.xls). Export its sheet as CSV in UTF-8.',
    };
  }
  if (startsWith(bytes, [0xff, 0xfe]) || startsWith(bytes, [0xfe, 0xff]) || isUnmarkedUtf16(bytes)) {
    return { kind: 'utf-16', line: null, message: 'is written in UTF-16. Save it as UTF-8.' };
  }
  return undefined;
}

/** Whether every second byte is zero, as in Latin text in UTF-16 without its mark. */
function isUnmarkedUtf16(bytes: Uint8Array): boolean {
  const sample = bytes.subarray(0, 64);
  const zeroAt = (first: number): boolean => sample.every((byte, index) => (index % 2 === first) === (byte === 0));
  return sample.length >= 4 && sample.length % 2 === 0 && (zeroAt(0) || zeroAt(1));
}

function holdsZero(bytes: Uint8Array, offset: number): EncodingProblem {
  const line = lineOf(bytes, offset);
  return { kind: 'binary', line, message: `is no text: line ${line} holds a zero byte.` };
}

function notUtf8(bytes: Uint8Array): EncodingProblem {
  const offset = firstInvalid(bytes);
  const line = lineOf(bytes, offset);
  const byte = bytes[offset]!;
  const character = new TextDecoder('windows-1252').decode(bytes.subarray(offset, offset + 1));
  return {
    kind: 'not-utf-8',
    line,
    message: `is not UTF-8: byte 0x${byte.toString(16)} in line ${line} would be "${character}" in Latin-1. Save the file as UTF-8.`,
  };
}

/** Offset of the first sequence that UTF-8 doesn't allow. */
function firstInvalid(bytes: Uint8Array): number {
  let offset = 0;
  while (offset < bytes.length) {
    const length = sequenceLength(bytes, offset);
    if (length === 0) return offset;
    offset += length;
  }
  return bytes.length - 1;
}

/** Bytes of the well-formed sequence at `offset` (Unicode Standard, table 3-7); 0 where there is none. */
function sequenceLength(bytes: Uint8Array, offset: number): number {
  const [first = 0, second = 0] = bytes.subarray(offset, offset + 2);
  const continues = (index: number) => ((bytes[offset + index] ?? 0) & 0xc0) === 0x80;
  if (first < 0x80) return 1;
  if (first >= 0xc2 && first <= 0xdf) return continues(1) ? 2 : 0;
  if (first >= 0xe0 && first <= 0xef) {
    const low = first === 0xe0 ? 0xa0 : 0x80;
    const high = first === 0xed ? 0x9f : 0xbf;
    return second >= low && second <= high && continues(2) ? 3 : 0;
  }
  if (first >= 0xf0 && first <= 0xf4) {
    const low = first === 0xf0 ? 0x90 : 0x80;
    const high = first === 0xf4 ? 0x8f : 0xbf;
    return second >= low && second <= high && continues(2) && continues(3) ? 4 : 0;
  }
  return 0;
}

function lineOf(bytes: Uint8Array, offset: number): number {
  let line = 1;
  for (let index = 0; index < offset; index++) if (bytes[index] === 10) line++;
  return line;
}

function startsWith(bytes: Uint8Array, prefix: readonly number[]): boolean {
  return prefix.every((byte, index) => bytes[index] === byte);
}
