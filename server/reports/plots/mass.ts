/** Mass by part: the heaviest first, against the cap where there is one. */
import type { MassReport } from '../check-report.js';
import { formatNumber } from '../../units/index.js';
import { horizontalAxis, linear, type Frame } from './axes.js';
import { csvOf, element, picture, text, tooltip, type Ink, type Picture } from './svg.js';

const WIDTH = 640;
const MOST_BARS = 24;

export function massPicture(reports: readonly MassReport[], limit: number | null, ink: Ink): Picture {
  const title = 'Mass by part';
  const top = reports.find(report => report.depth === 0);
  const total = top?.predicted ?? null;
  const parts = reports
    .filter(report => report.depth === 1 && report.predicted !== null)
    .sort((p, q) => q.predicted! - p.predicted!);
  const shown = parts.slice(0, MOST_BARS);
  const height = 60 + shown.length * 18 + 44;
  const frame: Frame = { left: 220, top: 46, right: WIDTH - 70, bottom: height - 44 };
  const x = linear([0, ...shown.map(part => part.predicted!)], frame.left, frame.right, 6);
  const head =
    total === null
      ? 'The predicted mass is undetermined'
      : `${top!.part}: ${formatNumber(total)} kg predicted${limit === null ? '' : ` of ${formatNumber(limit)} kg, ${formatNumber(Math.abs(limit - total))} kg ${limit >= total ? 'left' : 'over'}`}`;
  const draw = (part: MassReport, i: number): string => {
    const y = frame.top + 4 + i * 18;
    return [
      element(
        'rect',
        { x: x(0), y, width: Math.max(1, x(part.predicted!) - x(0)), height: 12, fill: ink.accent },
        tooltip(
          `${part.part}: ${formatNumber(part.predicted!)} kg predicted, ${part.basic === null ? '?' : formatNumber(part.basic)} kg basic`,
        ),
      ),
      text(partName(part), frame.left - 8, y + 10, { 'text-anchor': 'end' }),
      text(`${formatNumber(part.predicted!)} kg`, x(part.predicted!) + 6, y + 10, { fill: ink.muted }),
    ].join('');
  };
  const svg = picture(
    WIDTH,
    height,
    head,
    ink,
    text(head, 16, 24, {
      'font-weight': 600,
      fill: limit !== null && total !== null && total > limit ? ink.failing : ink.foreground,
    }),
    horizontalAxis(
      x,
      x.ticks(6),
      frame,
      `predicted mass, kg${parts.length > shown.length ? ` (${parts.length - shown.length} lighter parts not drawn)` : ''}`,
      ink,
    ),
    ...shown.map(draw),
  );
  const csv = csvOf([
    ['part', 'count', 'basic [kg]', 'predicted [kg]', 'maturity'],
    ...reports.map(report => [
      report.part,
      report.count,
      report.basic ?? '',
      report.predicted ?? '',
      report.maturity ?? '',
    ]),
  ]);
  return { title, svg, csv };
}

/** Without the part that all stand in. */
function partName({ part, count }: MassReport): string {
  const name = part.slice(part.indexOf('.') + 1);
  const short = name.length > 30 ? `${name.slice(0, 29)}…` : name;
  return count > 1 ? `${short} × ${count}` : short;
}
