/** What the top of a file says of the folders around it. Words in comments, texts and blocks say nothing. */
import { lowerPiece } from '../model/lower.js';
import { parsePiece } from '../syntax/parser.js';
import { endOfComment, endOfText } from '../syntax/scan.js';
import { split } from '../syntax/splitter.js';
import { saidIn } from '../model/statements.js';

export interface Outline {
  /** Whether a `project` block makes its folder a project. */
  readonly declaresProject: boolean;
  readonly uses: readonly OutlinedUse[];
}

/** A `use`: its path, and the name given to what it brings in. */
export interface OutlinedUse {
  readonly path: string;
  readonly name: string | null;
}

const NOTHING: Outline = { declaresProject: false, uses: [] };
const WORD = /(?<![\p{L}\p{N}_.])(?:project|use)(?![\p{L}\p{N}_])/u;
const WORD_HERE = new RegExp(WORD.source, 'uy');

/** Only statements that hold one of the words outside of blocks, texts and comments are parsed. */
export function outlineOf(text: string): Outline {
  if (!WORD.test(text) || !mayStandAtTop(text)) return NOTHING;
  let declaresProject = false;
  const uses: OutlinedUse[] = [];
  for (const piece of split(text)) {
    if (!WORD.test(piece.text) || !mayStandAtTop(piece.text)) continue;
    const { root } = lowerPiece(parsePiece(piece.text), piece.text, { file: '', start: piece.start });
    declaresProject ||= root.children.some(({ kind }) => kind === 'project');
    uses.push(...saidIn(root, 'uses').map(({ path, name }) => ({ path, name })));
  }
  return declaresProject || uses.length > 0 ? { declaresProject, uses } : NOTHING;
}

export function isSameOutline(one: Outline, other: Outline): boolean {
  return one === other || JSON.stringify(one) === JSON.stringify(other);
}

/** Whether one of the words stands outside of all blocks; true as well where braces don't balance. */
function mayStandAtTop(text: string): boolean {
  let depth = 0;
  for (let i = 0; i < text.length;) {
    const c = text.charCodeAt(i);
    const commentEnd = c === 47 ? endOfComment(text, i) : -1;
    if (commentEnd >= 0) i = commentEnd;
    else if (c === 34) i = endOfText(text, i).end;
    else {
      if (c === 123) depth++;
      else if (c === 125 && --depth < 0) return true;
      else if (depth === 0 && (c === 112 || c === 117)) {
        WORD_HERE.lastIndex = i;
        if (WORD_HERE.test(text)) return true;
      }
      i++;
    }
  }
  return depth > 0;
}

/** Outlines of files, each kept as long as its text stays the same. */
export class Outlines {
  private readonly known = new Map<string, { readonly text: string; readonly outline: Outline }>();

  of(path: string, text: string): Outline {
    const known = this.known.get(path);
    if (known?.text === text) return known.outline;
    const outline = outlineOf(text);
    this.known.set(path, { text, outline });
    return outline;
  }
}
