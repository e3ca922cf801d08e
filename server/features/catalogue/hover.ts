import { formulaMathML } from '../../reports/formula/mathml.js';
import { INKS } from '../../reports/plots/svg.js';
import { toBase64 } from '../../protocol/base64.js';
import { feature, rangeOf, type FeatureContext, type PositionParams } from '../feature.js';
import { hoverText, type Drawing } from '../hover-text.js';
import { words } from '../markdown.js';
import { withDegrees } from '../../units/index.js';

/** The worked calculation of what stands under the cursor. */
export default feature('textDocument/hover', { hoverProvider: true }, async (context, params: PositionParams) => {
  const found = hoverText(context, context.lines.offset(params.position), await drawing(context));
  return (
    found && {
      contents: { kind: 'markdown', value: readable(found.markdown) },
      range: rangeOf(context.lines, found.start, found.end),
    }
  );
});

/** Degrees as they are read, but in blocks and names of the language. */
function readable(markdown: string): string {
  return markdown
    .split(/(```[^]*?```|`[^`\n]*`)/)
    .map((part, i) => (i % 2 === 0 || /^`-?[\d.]+ deg[CF]`$/.test(part) ? withDegrees(part) : part))
    .join('');
}

/** Longer ones are read better as text. */
const LONGEST = 60_000;

async function drawing({ settings }: FeatureContext): Promise<Drawing | null> {
  const { pictures } = settings;
  if (!pictures) return null;
  const ink = INKS[pictures];
  const { typesetMathML } = await import('../../reports/formula/typeset.js');
  return {
    formula: (name, expression) => {
      const mathml = formulaMathML(name, expression);
      const svg = mathml && typesetMathML(mathml, ink.foreground);
      return svg ? image('formula', svg) : null;
    },
    plot: (label, draw) => image(label, draw(ink).svg),
  };
}

/** Characters beyond ASCII are written as references, so that each is one byte. */
function image(label: string, svg: string): string | null {
  const ascii = svg.replace(/[^\0-\x7f]/gu, character => `&#${character.codePointAt(0)};`);
  return ascii.length < LONGEST
    ? `![${words(label)}](data:image/svg+xml;base64,${toBase64(Uint8Array.from(ascii, character => character.charCodeAt(0)))})`
    : null;
}
