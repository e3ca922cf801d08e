/** What may stand at the caret, the likely first: for each place of the grammar that is open there, what fits it. */
import { LIBRARY } from '../../model/declaration.js';
import type { CompletionItem } from 'vscode-languageserver-types';
import { BLOCKS, rowOf, WORDS, type HeadWord } from '../../language/index.js';
import type { Role } from '../../syntax/tolerant/rules.js';
import type { Open } from '../../syntax/tolerant/tree.js';
import { environmentAt } from '../bindings.js';
import { around, caretAt, listBegun, type Caret } from '../caret.js';
import { bases, codes, fieldValue, formatValues, levels, maturities } from './choices.js';
import { methods, modes, neededModes, severities } from './choices.js';
import { anyLabel, labels, lots, ownLabel } from './labels.js';
import { members, segments } from './members.js';
import { argumentNames, names } from './names.js';
import { behindWord, Offers } from './offers.js';
import { statements } from './statements.js';
import { columnTypes, conversion, conversionUnits, touchesNumber, types, units } from './units.js';
import { isWord, word } from './words.js';
import { inScene, type Scene } from '../evaluate.js';
import type { FeatureContext } from '../feature.js';
import { entityAt } from '../scope.js';

export type { CompletionData } from './offers.js';

export interface Completions {
  readonly items: readonly CompletionItem[];
  readonly isIncomplete: boolean;
}

const NOTHING: Completions = { items: [], isIncomplete: false };

/** `trigger` is the character that asked; a space asks for what must follow, not for what may. */
export function completionsAt(context: FeatureContext, offset: number, trigger: string | undefined): Completions {
  const caret = caretAt(context.text, offset);
  if (!caret || context.file.startsWith(LIBRARY)) return NOTHING;
  return inScene(context.project, scene => gathered(context, caret, scene, trigger === ' ')) ?? NOTHING;
}

function gathered(context: FeatureContext, caret: Caret, scene: Scene, isQuiet: boolean): Completions {
  const { project, file, text } = context;
  const place = { scene, caret, entity: entityAt(project, file, caret) };
  const env = environmentAt(place);
  const offers = new Offers(context, { ...place, project, env, after: behindWord(text, caret.offset) });
  fill(offers, isQuiet);
  return { items: offers.items, isIncomplete: offers.isIncomplete };
}

/** What fits a place; `path` leads to it. */
type Source = (offers: Offers, path: readonly Open[]) => void;

/** By what stands there in which node. Where nothing is said, the row of the node may say what it names. */
const SOURCES: Partial<Record<Role | '', Source>> = {
  'NameReference.name': names,
  'FromStatement.targets': names,
  'Free.variables': names,
  'Argument.name': argumentNames,
  'Member.member': members,
  'Path.segments': segments,
  'Quantity.unit': units,
  'ToBeDetermined.unit': units,
  'Group.unit': units,
  'List.unit': units,
  'Column.unit': columnTypes,
  'TypeTerm.name': types,
  'Declaration.name': ownLabel,
  'HeadClause.targets': headNames,
  'ForItem.path': headNames,
  'LabelReference.label': anyLabel,
  'From.targets': lots,
  'Check.mode': modes,
  'Needs.modes': neededModes,
  'Method.name': methods,
  'Method.level': levels,
  'Method.article': offers => named(offers, 'on', 'Method'),
  'Method.milestone': offers => named(offers, 'by', 'Method'),
  'Severity.code': codes,
  'Severity.level': severities,
  'Severity.milestone': offers => named(offers, 'by', 'Severity'),
  'Basis.grade': bases,
  'Maturity.level': maturities,
  'FormatClause.lines': formatValues,
  'FormatClause.texts': formatValues,
};

function headNames(offers: Offers, path: readonly Open[]): void {
  const word = around(path, 'HeadClause')?.token('word')?.image ?? 'for';
  const keyword = around(path, 'Declaration')?.token('keyword')?.image ?? '';
  labels(offers, BLOCKS.get(keyword)?.head[word as HeadWord] ?? []);
}

const named = (offers: Offers, word: string, node: string): void => labels(offers, rowOf(word, node)?.names ?? []);

function fill(offers: Offers, isQuiet: boolean): void {
  const { caret } = offers;
  const as = conversion(caret.path);
  if (as) return conversionUnits(offers, as);
  if (caret.expected.some(({ role, path }) => role === 'NameReference.name' && fieldValue(offers, path))) return;
  const begun = caret.expected.flatMap(each => listBegun(each) ?? [])[0];
  if (begun && !isQuiet) statements(offers, begun);
  const going = caret.expected.filter(each => !listBegun(each));
  const filled = new Set<Role | ''>();
  for (const { kind, role, path } of going) {
    const place = placeOf(role, path);
    if (filled.has(place) || isWord(kind)) continue;
    filled.add(place);
    const source = SOURCES[place] ?? (kind === 'NAME' ? bySort(place) : undefined);
    source?.(offers, path);
  }
  // What may be complete is taken for it on a line of its own, and where a space asked.
  const isComplete = caret.word === '' && (isQuiet ? caret.mayEnd : begun !== undefined && caret.atLineStart);
  if (!isComplete && !touchesNumber(offers)) for (const each of going) if (isWord(each.kind)) word(offers, each);
}

/** Nodes that stand for what they hold. */
const HOLDERS: ReadonlySet<string> = new Set(['Identifier', 'Path', 'Text']);

/** What a name or a text is in the node that it is meant for. */
function placeOf(role: Role | '', path: readonly Open[]): Role | '' {
  const holder = path.findLastIndex(({ node }) => !HOLDERS.has(node.type) || node.read !== null) + 1;
  return path[holder]?.role ?? role;
}

/** Names of what the row of a node says that it names. */
function bySort(place: Role | ''): Source | undefined {
  const [node] = place.split('.');
  const kinds = WORDS.find(row => row.node === node)?.names;
  return kinds && (offers => labels(offers, kinds));
}
