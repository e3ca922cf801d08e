/** Of all points that are sampled from what varies in a random model, none lies below the margin that is told. */
import { holdAgainstPoints, randomModel } from '../proof.js';
import type { Failure, Property, Random } from '../property.js';

const POINTS = 200;

export default {
  name: 'proof',
  check(random: Random): Promise<Failure | undefined> {
    const model = randomModel(random);
    const { failure } = holdAgainstPoints(model, random, POINTS);
    return Promise.resolve(failure === null ? undefined : { reason: failure, files: { 'model.gus': model.text } });
  },
} satisfies Property;
