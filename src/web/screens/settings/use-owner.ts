import { useQuery } from '@tanstack/react-query';
import { client } from '../../book/client.ts';

/** Whether this page is open on the computer that has the book; undefined until known. */
export function useOwner(): boolean | undefined {
  const { data } = useQuery({
    queryKey: ['devices', 'this'],
    queryFn: async () => (await client.call('thisDevice', {})).body,
  });
  return data?.owner;
}
