import { formulaMathML } from '../../reports/formula/mathml.js';
import { INKS } from '../../reports/plots/svg.js';
import { toBase64 } from '../../protocol/base64.js';
import { feature, rangeOf, type FeatureContext, type PositionParams } from '../feature.js';
import { hoverText, type DrawFormula } from '../hover-text.js';

/** The worked calculation of what stands under the cursor. */
export default feature('textDocument/hover', { hoverProvider: true }, async (context, params: PositionParams) => {
  const found = hoverText(context, context.lines.offset(params.position), await drawing(context));
  return found && { contents: { kind: 'markdown', value: found.markdown }, range: rangeOf(context.lines, found.start, found.end) };
});

/** Longer ones are read better as text. */
const LONGEST = 60_000;

async function drawing({ settings }: FeatureContext): Promise<DrawFormula | null> {
  const { pictures } = settings;
  if (!pictures) return null;
  const { typesetMathML } = await import('../../reports/formula/typeset.js');
  return (name, expression) => {
    const mathml = formulaMathML(name, expression);
    const svg = mathml && typesetMathML(mathml, INKS[pictures].foreground);
    return svg && svg.length < LONGEST ? `![formula](data:image/svg+xml;base64,${toBase64(Uint8Array.from(svg, character => character.charCodeAt(0)))})` : null;
  };
}
