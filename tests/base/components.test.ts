/** Strongly connected components, held against who reaches whom. */
import { expect, test } from 'vitest';
import { stronglyConnected } from '../../server/base/index.js';
import { Random } from '../fuzz/property.js';

type Graph = readonly (readonly number[])[];

function randomGraph(random: Random): Graph {
  const size = 1 + random.below(12);
  return Array.from({ length: size }, () => Array.from({ length: random.below(4) }, () => random.below(size)));
}

function reached(graph: Graph, from: number): ReadonlySet<number> {
  const found = new Set(graph[from]!);
  for (const at of found) for (const next of graph[at]!) found.add(next);
  return found;
}

test('nodes share a component where each reaches the other, and it comes after what it leads to', () => {
  const random = new Random(1);
  for (let i = 0; i < 300; i++) {
    const graph = randomGraph(random);
    const components = stronglyConnected(graph.keys(), node => graph[node]!);
    const place = new Map(components.flatMap((nodes, at) => nodes.map(node => [node, at] as const)));
    expect(place.size, 'each node once').toBe(graph.length);
    for (const x of graph.keys()) {
      for (const y of reached(graph, x)) {
        expect(place.get(y)! <= place.get(x)!, `${y} is below ${x}`).toBe(true);
        expect(place.get(x) === place.get(y), `${x} and ${y}`).toBe(x === y || reached(graph, y).has(x));
      }
    }
  }
});

test('a graph may be deeper than the stack', () => {
  const components = stronglyConnected([0], node => (node < 200_000 ? [node + 1] : []));
  expect(components).toHaveLength(200_001);
});
