/**
 * MathML set as an SVG picture, for places that show no MathML. Loaded only when a picture is asked for: its fonts are
 * large.
 */
import { liteAdaptor } from 'mathjax-full/js/adaptors/liteAdaptor.js';
import { RegisterHTMLHandler } from 'mathjax-full/js/handlers/html.js';
import { MathML } from 'mathjax-full/js/input/mathml.js';
import { mathjax } from 'mathjax-full/js/mathjax.js';
import { SVG } from 'mathjax-full/js/output/svg.js';

const adaptor = liteAdaptor();
RegisterHTMLHandler(adaptor);
const typesetter = mathjax.document('', { InputJax: new MathML(), OutputJax: new SVG({ fontCache: 'none' }) });
/** Height of an x in pixels, by which sizes are given. */
const X_HEIGHT = 8;

/**
 * Glyphs are paths, so the picture holds ASCII alone. `color` replaces the colour of the text around, which a picture
 * in an `img` does not have.
 */
export function typesetMathML(mathml: string, color: string): string {
  const svg = adaptor.innerHTML(typesetter.convert(mathml, { display: true }) as never);
  return svg
    .replaceAll('currentColor', color)
    .replace(/ data-[\w-]+="[^"]*"/g, '')
    .replace(
      /(width|height)="([\d.]+)ex"/g,
      (_, side: string, size: string) => `${side}="${Math.ceil(Number(size) * X_HEIGHT)}"`,
    );
}
