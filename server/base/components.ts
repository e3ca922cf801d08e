/**
 * The strongly connected components of what is reached from some nodes, each after those that it leads to. A component
 * of one node is no cycle unless the node leads to itself. Source: R. Tarjan, Depth-first search and linear graph
 * algorithms, SIAM J. Comput. 1 (1972); without recursion, since a graph may be as deep as it is large.
 */
export function stronglyConnected<T>(nodes: Iterable<T>, next: (node: T) => Iterable<T>): T[][] {
  const components: T[][] = [];
  const states = new Map<T, { readonly index: number; lowest: number; isOpen: boolean }>();
  const open: T[] = [];
  const way: { node: T; rest: Iterator<T> }[] = [];
  const enter = (node: T): void => {
    states.set(node, { index: states.size, lowest: states.size, isOpen: true });
    open.push(node);
    way.push({ node, rest: next(node)[Symbol.iterator]() });
  };
  const leave = (node: T): void => {
    way.pop();
    const { index, lowest } = states.get(node)!;
    const above = way[way.length - 1];
    if (above) lower(above.node, lowest);
    if (lowest < index) return;
    const component = open.splice(open.lastIndexOf(node));
    for (const member of component) states.get(member)!.isOpen = false;
    components.push(component);
  };
  const lower = (node: T, to: number): void => {
    const state = states.get(node)!;
    state.lowest = Math.min(state.lowest, to);
  };
  for (const first of nodes) {
    if (!states.has(first)) enter(first);
    while (way.length > 0) {
      const { node, rest } = way[way.length - 1]!;
      const step = rest.next();
      if (step.done) leave(node);
      else {
        const known = states.get(step.value);
        if (!known) enter(step.value);
        else if (known.isOpen) lower(node, known.index);
      }
    }
  }
  return components;
}
