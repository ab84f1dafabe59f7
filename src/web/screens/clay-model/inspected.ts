import type { ApiAnswer } from '../../../api/routes.ts';
import type { ClayFile } from '../../../domain/clay-file.ts';
import { client } from '../../book/client.ts';

export type Inspected = ApiAnswer<'inspectClay'>;
export type Report = ClayFile['report'];

/** What the server says of a clay model: its errors, doubts and least certain clays. */
export function inspectedQuery(id: string, version: number) {
  return {
    queryKey: ['clays', 'inspect', id, version],
    queryFn: async () =>
      (await client.call('inspectClay', { params: { id }, query: {} })).body as Inspected,
  };
}
