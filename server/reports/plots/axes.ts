/** Axes with ticks and grid lines. */
import { scaleLinear, scaleLog } from 'd3-scale';
import { formatNumber } from '../../units/index.js';
import { element, text, type Ink } from './svg.js';

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Takes a number to a place along its axis. */
export interface Scale {
  (value: number): number;
  ticks(count?: number): number[];
}

const TICK = 4;

/** A linear scale with a little room beyond the data, and round ends. */
export function linear(values: readonly number[], from: number, to: number, count: number): Scale {
  const [low, high] = extent(values);
  return scaleLinear()
    .domain(low === high ? [low - 1, high + 1] : [low, high])
    .nice(count)
    .range([from, to]) as Scale;
}

export function logarithmic(values: readonly number[], from: number, to: number): Scale {
  const [low, high] = extent(values);
  return scaleLog()
    .domain(low === high ? [low / 2, high * 2] : [low, high])
    .range([from, to]) as Scale;
}

function extent(values: readonly number[]): [number, number] {
  return values.reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)], [Infinity, -Infinity]);
}

/**
 * Ticks of a logarithmic scale that can carry a number: 1, 2 and 5 of each decade, or the decades alone where there are
 * many.
 */
export function logarithmicTicks(scale: Scale): number[] {
  const all = scale.ticks();
  const few = all.filter(value => [1, 2, 5].includes(Number(value.toExponential()[0])));
  return few.length <= 8 ? few : all.filter(value => value.toExponential()[0] === '1');
}

export function horizontalAxis(scale: Scale, ticks: readonly number[], frame: Frame, label: string, ink: Ink): string {
  return [
    ...ticks.map(tick =>
      element('line', { x1: scale(tick), x2: scale(tick), y1: frame.top, y2: frame.bottom, stroke: ink.grid }),
    ),
    ...ticks.map(tick =>
      text(formatNumber(tick), scale(tick), frame.bottom + 14, { 'text-anchor': 'middle', fill: ink.muted }),
    ),
    text(label, (frame.left + frame.right) / 2, frame.bottom + 30, { 'text-anchor': 'middle', fill: ink.muted }),
  ].join('');
}

export function verticalAxis(scale: Scale, ticks: readonly number[], frame: Frame, label: string, ink: Ink): string {
  return [
    ...ticks.map(tick =>
      element('line', { x1: frame.left, x2: frame.right, y1: scale(tick), y2: scale(tick), stroke: ink.grid }),
    ),
    ...ticks.map(tick =>
      text(formatNumber(tick), frame.left - TICK - 2, scale(tick) + 4, { 'text-anchor': 'end', fill: ink.muted }),
    ),
    text(label, frame.left, frame.top - 8, { 'text-anchor': 'start', fill: ink.muted }),
  ].join('');
}
