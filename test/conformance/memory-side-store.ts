import type { ServerStateStore } from '../../src/book/server-state.ts';

/** A server state store that lives only during the test; values go through JSON, as on the disk. */
export function memorySideStore(): ServerStateStore {
  const kept = new Map<string, string>();
  const nameOf = (space: string, key: string) => JSON.stringify([space, key]);
  return {
    async get(space, key) {
      const text = kept.get(nameOf(space, key));
      return text === undefined ? undefined : JSON.parse(text);
    },
    async put(space, key, value) {
      kept.set(nameOf(space, key), JSON.stringify(value));
    },
    async remove(space, key) {
      kept.delete(nameOf(space, key));
    },
    async list(space) {
      return [...kept]
        .map(([name, text]) => ({ name: JSON.parse(name) as [string, string], text }))
        .filter(({ name }) => name[0] === space)
        .map(({ name, text }) => ({ key: name[1], value: JSON.parse(text) as unknown }))
        .sort((one, other) => (one.key < other.key ? -1 : 1));
    },
  };
}
