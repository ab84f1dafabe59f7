import { type ApiClient, apiClient } from '../../client/api-client.ts';

/** The page is served from where its book is, so its calls go there. */
export const client: ApiClient = apiClient({ baseUrl: '' });
