/** Offsets and positions of one text. */
import type { Position } from 'vscode-languageserver-types';
import { lineAt, lineStarts } from '../syntax/scan.js';

export class Lines {
  private readonly starts: Int32Array;

  constructor(private readonly text: string) {
    this.starts = lineStarts(text);
  }

  position(offset: number): Position {
    const line = lineAt(this.starts, offset);
    return { line, character: offset - this.starts[line]! };
  }

  /** A position beyond a line's end is that end, as the protocol wants it. */
  offset({ line, character }: Position): number {
    if (line >= this.starts.length) return this.text.length;
    const start = this.starts[line]!;
    const end = line + 1 < this.starts.length ? this.starts[line + 1]! - 1 : this.text.length;
    return Math.min(start + character, Math.max(start, end));
  }
}
