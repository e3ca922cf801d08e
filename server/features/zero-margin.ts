/** The value at which the margin of a check is zero: by judging the check itself, between values on both sides. */
import type { CheckResult } from '../engine/margin.js';
import type { Quantity } from '../engine/values/value.js';
import type { ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { targetOf, type Probe } from '../project/trial.js';
import { fromSI, readableUnit, toSI, type Unit } from '../units/index.js';
import type { FeatureContext } from './feature.js';
import { checkOfRow } from './margin-sheet.js';
import { isWorse } from './status.js';
import { endsOf, literalOf, numberText } from './trial-choices.js';

/** How far from what is written is looked, where no range is: a tenth to ten times, or so many kelvins. */
const TIMES = 10;
const KELVINS = 100;
/** Values between the ends that are looked at first, so that a margin that turns is seen. */
const BETWEEN = 12;
/** Digits of the value that is told. */
const DIGITS = 4;
const MOST_HALVINGS = 40;

interface Answer {
  readonly text: string | null;
  readonly message: string;
}

/** A value, in SI, and whether the check holds there; null where it is undetermined. */
interface Sample {
  readonly at: number;
  readonly passes: boolean | null;
}

export async function zeroMargin(context: FeatureContext, name: string, row: string): Promise<Answer> {
  const { project } = context;
  const target = targetOf(project.namespace, name);
  const item = target?.entity.values.get(target.field);
  const value = target && project.view.evaluation.valueOf(target.entity, target.field);
  const found = checkOfRow(project, row);
  if (!item || !found) return none('There is no such value, or no such check.');
  if (value?.kind !== 'quantity')
    return none(`${name} is no single number: a zero margin is looked for among numbers.`);
  const search = new Search(context, { entity: target!.entity, item, value, name }, found.entity, rowNumber(row));
  try {
    return await search.run([found.entity.label, found.check.item.mode].filter(Boolean).join(' '));
  } finally {
    search.dispose();
  }
}

function none(message: string): Answer {
  return { text: null, message };
}

function rowNumber(row: string): number {
  return Number(row.slice(row.lastIndexOf('#') + 1)) - 1;
}

interface Tried {
  readonly entity: Entity;
  readonly item: ValueItem;
  readonly value: Quantity;
  readonly name: string;
}

class Search {
  private readonly probe: Probe;

  constructor(
    private readonly context: FeatureContext,
    private readonly tried: Tried,
    private readonly entity: Entity,
    private readonly check: number,
  ) {
    this.probe = context.project.probe(tried.name);
  }

  dispose(): void {
    this.probe.dispose();
  }

  async run(name: string): Promise<Answer> {
    const [low, high] = this.ends();
    const ends = `between ${this.text(low)} and ${this.text(high)}`;
    const samples = [];
    for (const at of this.places(low, high)) samples.push(await this.sample(at));
    const known = samples.filter(({ passes }) => passes !== null);
    const crossings = known.flatMap((sample, i) => {
      const next = known[i + 1];
      return next && next.passes !== sample.passes ? [[sample, next] as const] : [];
    });
    if (known.length === 0) return none(`${name} is undetermined ${ends}.`);
    if (crossings.length === 0)
      return none(`${name} ${known[0]!.passes ? 'holds' : 'fails'} at every value ${ends}: no margin there is zero.`);
    const here = this.context.project.view.evaluation.number(this.tried.value.node);
    const far = ([x, y]: readonly [Sample, Sample]): number => Math.min(Math.abs(x.at - here), Math.abs(y.at - here));
    const nearest = crossings.reduce((best, next) => (far(next) < far(best) ? next : best));
    const holds = await this.halved(nearest);
    const [at, side] = [this.text(holds.at), nearest[0].passes ? 'below' : 'above'];
    const again = crossings.length > 1 ? ` It turns ${crossings.length} times ${ends}; this is the nearest.` : '';
    return { text: at, message: `The margin of ${name} is zero at ${at} and holds ${side} it.${again}` };
  }

  /** The last value that holds, to the digits that are told. */
  private async halved([x, y]: readonly [Sample, Sample]): Promise<Sample> {
    let [holds, fails] = x.passes ? [x, y] : [y, x];
    for (let n = 0; n < MOST_HALVINGS; n++) {
      const middle = this.rounded((holds.at + fails.at) / 2, holds.at);
      if (middle === holds.at || middle === fails.at) break;
      const next = await this.sample(middle);
      if (next.passes) holds = next;
      else fails = next;
    }
    return holds;
  }

  /** The range that is written, else one about what is written. */
  private ends(): readonly [number, number] {
    const { entity, item, value } = this.tried;
    const written = endsOf(this.context.project, entity, item);
    if (written) return written;
    const here = this.context.project.view.evaluation.number(value.node);
    if (value.point) return [here - KELVINS, here + KELVINS];
    return here < 0 ? [here * TIMES, here / TIMES] : [here / TIMES, here * TIMES];
  }

  private places(low: number, high: number): number[] {
    const ratio = low * high > 0 && !this.tried.value.point;
    const at = (share: number): number => (ratio ? low * (high / low) ** share : low + share * (high - low));
    const here = this.context.project.view.evaluation.number(this.tried.value.node);
    const all = Array.from({ length: BETWEEN + 2 }, (_, i) => this.rounded(at(i / (BETWEEN + 1)), low));
    return [...new Set([...all, here])].filter(place => place >= low && place <= high).sort((x, y) => x - y);
  }

  private async sample(at: number): Promise<Sample> {
    await this.context.pause();
    const { project } = this.context;
    const value = project.readTrial({ name: this.tried.name, text: this.text(at) });
    const worst = this.probe
      .check(value, this.entity, this.check)
      .reduce<CheckResult | null>((lowest, next) => (!lowest || isWorse(next, lowest) ? next : lowest), null);
    return { at, passes: worst?.passes ?? null };
  }

  private get unit(): Unit {
    const { value } = this.tried;
    return (
      value.unit ?? readableUnit(value.dimension, this.context.project.view.evaluation.number(value.node), value.point)
    );
  }

  /** To the digits that are told, in the unit that is written. */
  private rounded(si: number, otherwise: number): number {
    const number = Number(fromSI(this.unit, si).toPrecision(DIGITS));
    return Number.isFinite(number) ? toSI(this.unit, String(number)) : otherwise;
  }

  private text(si: number): string {
    const literal = literalOf(this.tried.item.value);
    return numberText(this.context.project, si, literal?.kind === 'number' ? literal.unitText : null, this.unit);
  }
}
