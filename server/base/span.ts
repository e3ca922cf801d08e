/** Half-open range of UTF-16 offsets in one text: `start` belongs to it, `end` does not. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

export function span(start: number, end: number): Span {
  return { start, end };
}

export function spanLength(range: Span): number {
  return range.end - range.start;
}

export function spanContains(range: Span, offset: number): boolean {
  return range.start <= offset && offset < range.end;
}

/** True also for a cursor that stands directly behind the last character. */
export function spanTouches(range: Span, offset: number): boolean {
  return range.start <= offset && offset <= range.end;
}

export function spanCovers(outer: Span, inner: Span): boolean {
  return outer.start <= inner.start && inner.end <= outer.end;
}

/** True when the two ranges share at least one character. */
export function spansOverlap(a: Span, b: Span): boolean {
  return a.start < b.end && b.start < a.end;
}

/** The smallest range that holds both. */
export function spanUnion(a: Span, b: Span): Span {
  return { start: Math.min(a.start, b.start), end: Math.max(a.end, b.end) };
}

export function spanShift(range: Span, by: number): Span {
  return { start: range.start + by, end: range.end + by };
}

export function spanText(text: string, range: Span): string {
  return text.slice(range.start, range.end);
}
