// The colours of the editor before the server answers: a TextMate grammar made from the words of the language.
import { isStarted, writeIfChanged } from './files.mjs';
import { language } from './language.mjs';

const {
  BLOCK_WORDS,
  CHOICES,
  FORMAT_WORDS,
  LABEL_WORDS,
  LEVEL_WORDS,
  mayBeUnit,
  RESERVED,
  RESULTS,
  STATEMENT_WORDS,
  SUFFIX_WORDS,
} = await language();

const target = 'grammar/gusset.tmLanguage.json';

const NAME = String.raw`[\p{L}_][\p{L}\p{N}_]*`;
const LABEL = String.raw`\p{L}[\p{L}\p{N}_]*(?:-[\p{L}\p{N}_]+)+(?:\.\d+)*(?:/[\p{L}_][\p{L}\p{N}_-]*)?`;
const NUMBER = String.raw`\d+(?:\.\d+)?(?:[eE][+-]?\d+)?`;
const POWER = String.raw`(?:\^-?\d+(?:\.\d+)?|\^\(-?\d+/\d+\)|⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)?`;
const UNIT_WORD = String.raw`[\p{L}%‰°][\p{L}\p{N}°_]*`;
const UNIT_GROUP = String.raw`\(${UNIT_WORD}${POWER}(?:[*/·]${UNIT_WORD}${POWER})*\)`;
const UNIT = String.raw`(?:1/(?=[\p{L}(]))?(?:${UNIT_WORD}${POWER}|${UNIT_GROUP})(?:[*/·](?:${UNIT_WORD}${POWER}|${UNIT_GROUP}))*`;
const WORD_START = String.raw`(?<![\p{L}\p{N}_.])`;
const WORD_END = String.raw`(?![\p{L}\p{N}_])`;
/** Behind a word that acts as a word: no `=`, no member, no call. */
const ACTS = String.raw`${WORD_END}(?!\s*=(?!=))(?![.(:])`;

const STATUSES = Object.keys(CHOICES['status of a requirement']);
const OPEN = ['TBD', 'tbc'];
const CONSTANTS = ['true', 'false'];
const WORD_OPERATORS = ['and', 'or', 'not'];

const allWords = new Set([...RESERVED, ...BLOCK_WORDS, ...STATEMENT_WORDS, ...SUFFIX_WORDS, ...LEVEL_WORDS]);
const oneOf = words => `(?:${[...words].toSorted().join('|')})`;
const without = (words, ...others) => [...words].filter(word => !others.flat().includes(word));

const includes = (...names) => names.map(name => ({ include: `#${name}` }));
const captures = scopes =>
  Object.fromEntries(
    Object.entries(scopes).map(([group, scope]) => [
      group,
      typeof scope === 'string' ? { name: `${scope}.gusset` } : scope,
    ]),
  );
const match = (scope, pattern) => ({ name: `${scope}.gusset`, match: pattern });

export function textMateGrammar() {
  const blockWord = `${WORD_START}(?<!as )(${oneOf(BLOCK_WORDS)})`;
  const labelWords = without(LABEL_WORDS, '#');
  const neverUnits = [...allWords].filter(word => !mayBeUnit(word) || BLOCK_WORDS.has(word));
  const notUnit = String.raw`(?!${oneOf(neverUnits)}${WORD_END})`;
  const unit = String.raw`${notUnit}(${UNIT})(?![\p{L}\p{N}_]*\s*=(?!=))`;
  return {
    name: 'Gusset',
    scopeName: 'source.gusset',
    fileTypes: ['gus'],
    patterns: includes('comments', 'statements', 'expressions'),
    repository: {
      comments: {
        patterns: [
          match('comment.line.documentation', '///.*$'),
          match('comment.line.double-slash', '//.*$'),
          { name: 'comment.block.gusset', begin: String.raw`/\*`, end: String.raw`\*/` },
        ],
      },
      statements: {
        patterns: [
          // requirement STR-010, part Bus, project "…"
          { match: `${blockWord}[ \\t]+(${LABEL})`, captures: captures({ 1: 'storage.type', 2: 'entity.name.label' }) },
          {
            match: `${blockWord}[ \\t]+(?!(?:as|in)${WORD_END})(${NAME})(?![.(])`,
            captures: captures({ 1: 'storage.type', 2: 'entity.name.type' }),
          },
          { match: String.raw`${blockWord}(?=\s+"|\s*\{)`, captures: captures({ 1: 'storage.type' }) },
          {
            match: `${WORD_START}(let|formula|unit)[ \\t]+(${NAME})(?=\\()`,
            captures: captures({ 1: 'storage.type', 2: 'entity.name.function' }),
          },
          {
            match: `${WORD_START}(let|formula|unit)[ \\t]+(${NAME})`,
            captures: captures({ 1: 'storage.type', 2: 'variable.other.constant' }),
          },
          // parent SYS-004, from L-2291
          {
            match: `${WORD_START}(${oneOf(labelWords)})[ \\t]+((?:${NAME}\\s*,\\s*)*${LABEL}(?:\\s*,\\s*(?:${LABEL}|${NAME}))*)`,
            captures: captures({ 1: 'keyword.other', 2: { patterns: includes('labels') } }),
          },
          {
            match: `(?<![\\p{L}\\p{N}_])(result)\\s*(=)\\s*(${oneOf(RESULTS)})${WORD_END}`,
            captures: captures({ 1: 'variable.other.property', 2: 'keyword.operator', 3: 'constant.language.result' }),
          },
          match('constant.language.status', `${WORD_START}${oneOf(STATUSES)}${ACTS}`),
          match('variable.other.property', String.raw`${NAME}(?=\s*=(?!=))`),
          match('keyword.other', `${WORD_START}${oneOf(without([...STATEMENT_WORDS, ...SUFFIX_WORDS], OPEN))}${ACTS}`),
          match('keyword.other', `(?<=[)\\d"][ \\t])${oneOf(FORMAT_WORDS)}(?=[ \\t]+[\\d"])`),
          match('constant.language.level', `(?<=[ \\t])${oneOf(LEVEL_WORDS)}${ACTS}`),
        ],
      },
      expressions: {
        patterns: includes('strings', 'dates', 'quantities', 'labelReferences', 'words', 'calls', 'operators'),
      },
      strings: {
        name: 'string.quoted.double.gusset',
        begin: '"',
        end: '"',
        patterns: [
          match('constant.character.escape', String.raw`\\.`),
          {
            name: 'meta.embedded.expression.gusset',
            begin: String.raw`\{`,
            end: String.raw`\}`,
            beginCaptures: captures({ 0: 'punctuation.section.embedded.begin' }),
            endCaptures: captures({ 0: 'punctuation.section.embedded.end' }),
            patterns: includes('dates', 'quantities', 'labelReferences', 'words', 'calls', 'operators'),
          },
        ],
      },
      labels: { patterns: [match('entity.name.label', LABEL)] },
      labelReferences: {
        match: `(#)(${LABEL}|${NAME})`,
        captures: captures({ 1: 'punctuation.definition.label', 2: 'entity.name.label' }),
      },
      dates: match('constant.numeric.date', String.raw`(?<![\p{L}\p{N}_])\d{4}-\d{2}-\d{2}(?!\d)`),
      quantities: {
        patterns: [
          {
            match: String.raw`(?<![\p{L}\p{N}_])(${NUMBER})(?:[ \t]*${unit})?`,
            captures: captures({ 1: 'constant.numeric', 2: 'keyword.other.unit' }),
          },
          {
            match: String.raw`${WORD_START}(as|TBD)[ \t]+${unit}`,
            captures: captures({ 1: 'keyword.other', 2: 'keyword.other.unit' }),
          },
          { match: String.raw`([)\]])[ \t]+${unit}(?!\s*["{(])`, captures: captures({ 2: 'keyword.other.unit' }) },
        ],
      },
      words: {
        patterns: [
          match('keyword.other.open', `${WORD_START}${oneOf(OPEN)}${WORD_END}`),
          match('constant.language', `${WORD_START}${oneOf(CONSTANTS)}${WORD_END}`),
          match('keyword.operator.word', `${WORD_START}${oneOf(WORD_OPERATORS)}${WORD_END}`),
          match(
            'keyword.control',
            `${WORD_START}${oneOf(without(RESERVED, OPEN, CONSTANTS, WORD_OPERATORS))}${WORD_END}`,
          ),
        ],
      },
      calls: match('entity.name.function', String.raw`${NAME}(?=\()`),
      operators: match('keyword.operator', String.raw`->|→|\.\.|\+/-|±|[<>=!]=|[≤≥≠]|[-+*/^<>=×·−]`),
    },
  };
}

if (isStarted(import.meta.filename)) writeIfChanged(target, `${JSON.stringify(textMateGrammar(), null, 2)}\n`);
