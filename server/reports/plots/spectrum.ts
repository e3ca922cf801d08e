/** A spectrum over frequency, both axes logarithmic. */
import { line } from 'd3-shape';
import type { TableValue } from '../../engine/values/value.js';
import { formatNumber, readableUnit, type Unit } from '../../units/index.js';
import { horizontalAxis, logarithmic, logarithmicTicks, verticalAxis, type Frame } from './axes.js';
import { csvOf, element, PANEL, picture, tooltip, type Ink, type Picture, type Room } from './svg.js';

/** Breakpoints of a table as they are written: frequency against density or level. */
export function spectrumPicture(title: string, table: TableValue, ink: Ink, { width, height }: Room = PANEL): Picture {
  const input = table.inputs[0]!;
  const keys = [...(table.data.keys as Float64Array)];
  const values = [...(table.data.values as Float64Array)];
  const across = input.unit ?? readableUnit(input.dimension, keys[0] ?? 1);
  const up = table.output.unit ?? readableUnit(table.output.dimension, values[0] ?? 1);
  const points = keys
    .map((key, i) => ({ x: key / across.factor, y: values[i]! / up.factor }))
    .filter(point => point.x > 0 && point.y > 0);
  const frame: Frame = { left: 60, top: 28, right: width - 20, bottom: height - 40 };
  const csv = csvOf([[named('frequency', across), named('value', up)], ...points.map(point => [point.x, point.y])]);
  if (points.length === 0) return { title, csv, svg: picture(width, 40, `${title}: nothing to draw`, ink) };
  const x = logarithmic(
    points.map(point => point.x),
    frame.left,
    frame.right,
  );
  const y = logarithmic(withRoom(points.map(point => point.y)), frame.bottom, frame.top);
  const path = line<(typeof points)[number]>(
    point => x(point.x),
    point => y(point.y),
  );
  const svg = picture(
    width,
    height,
    `${title}: ${points.length} breakpoints from ${formatNumber(points[0]!.x)} to ${formatNumber(points.at(-1)!.x)} ${across.symbol}`,
    ink,
    horizontalAxis(x, logarithmicTicks(x), frame, `frequency, ${across.symbol}`, ink),
    verticalAxis(y, logarithmicTicks(y), frame, up.symbol, ink),
    element('path', { d: path(points) ?? '', fill: 'none', stroke: ink.accent, 'stroke-width': 2 }),
    ...points.map(point =>
      element(
        'circle',
        { cx: x(point.x), cy: y(point.y), r: 3.5, fill: ink.accent },
        tooltip(`${formatNumber(point.x)} ${across.symbol}: ${formatNumber(point.y)} ${up.symbol}`),
      ),
    ),
  );
  return { title, svg, csv };
}

/** Whole steps of 1, 2, 5 round the values, so that a flat spectrum has a tick above and below. */
function withRoom(values: readonly number[]): number[] {
  return [Math.min(...values) / 2, ...values, Math.max(...values) * 2];
}

function named(what: string, unit: Unit): string {
  return unit.symbol ? `${what} [${unit.symbol}]` : what;
}
