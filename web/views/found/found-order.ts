type Heard = { topic: string; lastMs: number };

/** The order in which topics are listed: new ones on top, the last heard first; those listed already stay. Pure. */
export function withNewFirst(order: readonly string[], topics: readonly Heard[]): string[] {
  const here = new Set(topics.map(({ topic }) => topic));
  const added = topics.filter(({ topic }) => !order.includes(topic)).sort((a, b) => b.lastMs - a.lastMs);
  return [...added.map(({ topic }) => topic), ...order.filter((topic) => here.has(topic))];
}
