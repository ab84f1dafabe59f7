import { useQuery } from '@tanstack/react-query';
import { newestOf } from '../../book/clay-file.ts';
import { useAll } from '../../book/queries.ts';
import { inspectedQuery, type Report } from '../clay-model/inspected.ts';

/** Why the plain tile of a block is not predicted as it was read, where the model says so. */
export function WhyNotAsRead({ blockId }: { readonly blockId: string }) {
  const model = newestOf(useAll('clay-model').records);
  const name = model?.body.clays.find((clay) => clay.blockId === blockId)?.name;
  const { data } = useQuery({
    ...inspectedQuery(model?.id ?? '', model?.version ?? 0),
    enabled: name !== undefined,
  });
  const report = data?.report as unknown as Report | undefined;
  const why = report?.clays.find((clay) => clay.name === name)?.plain?.why;
  return why === undefined ? null : <p className="warning small">{why}</p>;
}
