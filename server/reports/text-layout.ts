/** What the sections of the report as text are set with. */
import { visible } from '../base/index.js';
import { withDegrees } from '../units/index.js';
import type { Severity, Status } from './check-report.js';
import { wrap } from './table.js';

export type Paint = (printed: string) => string;
export type Palette = Record<Status | Severity | 'heading', Paint>;

export interface Context {
  readonly width: number;
  readonly palette: Palette;
}

export function statusText(status: Status | 'passes'): string {
  return status === 'failing' ? 'FAILING' : status;
}

/** `head` and `body` on one line where they fit; what does not fit goes under the body, or `indent` deep. */
export function hanging(head: string, body: string, width: number, indent = head.length): string[] {
  const margin = ' '.repeat(indent);
  if (indent === head.length)
    return wrap(body, width - indent).map((line, index) => (index === 0 ? head : margin) + line);
  const [first = '', ...rest] = wrap(head + body, width);
  return [
    first,
    ...wrap(rest.join(' '), width - indent)
      .filter(Boolean)
      .map(line => margin + line),
  ];
}

export function lines(...texts: readonly string[]): string {
  return texts.filter(Boolean).join('\n');
}

/** Text as one line: what a file holds must not steer a terminal. */
export function plain(text: string): string {
  return visible(text.replace(/\s+/g, ' ').trim());
}

/** Words as a reader writes them: degrees by their sign. */
export function prose(text: string): string {
  return withDegrees(plain(text));
}

export function paletteOf(color: boolean): Palette {
  const paint =
    (code: number): Paint =>
    printed =>
      color ? `\x1b[${code}m${printed}\x1b[0m` : printed;
  return {
    heading: paint(1),
    failing: paint(31),
    undetermined: paint(35),
    waived: paint(2),
    lapsed: paint(33),
    unverified: paint(36),
    verified: paint(32),
    error: paint(31),
    warning: paint(33),
    information: paint(36),
    hint: paint(2),
  };
}
