/**
 * What a server keeps beside the book and no journal tells of: paired devices, jobs, answers to calls
 * sent twice. Values are plain JSON. It may be thrown away: devices are then paired again, and nothing of
 * the book is lost.
 */
export interface ServerStateStore {
  get(space: string, key: string): Promise<unknown>;
  /** On the disk when it resolves. */
  put(space: string, key: string, value: unknown): Promise<void>;
  remove(space: string, key: string): Promise<void>;
  /** By rising key. */
  list(space: string): Promise<readonly { readonly key: string; readonly value: unknown }[]>;
}
