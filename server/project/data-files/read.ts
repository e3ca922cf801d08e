/** Reads a data file as its declaration says, a step at a time. */
import type { CancellationToken } from '../../base/index.js';
import { NEVER } from '../../base/index.js';
import { PLAIN_FORMAT } from '../../model/statements.js';
import type { EncodingProblem } from './decode-text.js';
import { decodeInSteps } from './decode-text.js';
import { isListing, ListingReader } from './listing.js';
import { SeparatedReader } from './separated.js';
import { emptyTable, megabytes, ProblemList, type Table, type TableRequest } from './table.js';

const defaultSizeLimit = 256 * 2 ** 20;
/** Bytes read between two pauses: some ten milliseconds. */
const bytesPerStep = 2 ** 17;

/** Reads a file in one go; undefined when cancelled. */
export function readTable(
  source: string | Uint8Array,
  request: TableRequest,
  token: CancellationToken = NEVER,
): Table | undefined {
  const steps = readTableInSteps(source, request);
  for (;;) {
    if (token.cancelled) return undefined;
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * Reads separated values or a listing, pausing every ten milliseconds or so. Who drives the steps decides when to go
 * on, or to drop the work.
 */
export function* readTableInSteps(source: string | Uint8Array, request: TableRequest): Generator<undefined, Table> {
  const { columns, sizeLimit = defaultSizeLimit } = request;
  const format = { ...PLAIN_FORMAT, ...request.format };
  const problems = new ProblemList();
  if (source.length > sizeLimit) {
    problems.add(
      'too-large',
      `The file has ${megabytes(source.length)}, more than the ${megabytes(sizeLimit)} allowed. Keep the needed columns and rows only.`,
    );
    return emptyTable(problems);
  }
  const reader = isListing(format)
    ? new ListingReader(columns, format, problems)
    : new SeparatedReader(columns, format, problems);
  const pieces = piecesOf(source);
  for (let piece = pieces.next(); ; piece = pieces.next()) {
    if (piece.done) {
      if (!piece.value) break;
      problems.add('encoding', `The file ${piece.value.message}`, { line: piece.value.line });
      return emptyTable(problems);
    }
    reader.read(piece.value);
    if (reader.stopped) break;
    yield;
  }
  return (yield* reader.end()) ?? emptyTable(problems);
}

function* piecesOf(source: string | Uint8Array): Generator<string, EncodingProblem | undefined> {
  if (typeof source !== 'string') return yield* decodeInSteps(source, bytesPerStep);
  const text = source.replace(/^\ufeff/, '');
  for (let start = 0; start < text.length; start += bytesPerStep) yield text.slice(start, start + bytesPerStep);
  return undefined;
}
