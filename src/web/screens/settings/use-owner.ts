import { useQuery } from '@tanstack/react-query';
import { client } from '../../book/client.ts';

/** Whether this page is open at the computer that keeps the book; undefined until it is known. */
export function useOwner(): boolean | undefined {
  const { data } = useQuery({
    queryKey: ['devices', 'this'],
    queryFn: async () => (await client.call('thisDevice', {})).body,
  });
  return data?.owner;
}
