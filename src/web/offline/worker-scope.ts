/** What a service worker's scope has beyond a page's; the types of both cannot be loaded together. */
export interface WorkerScope {
  readonly location: { readonly origin: string };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(on: 'install' | 'activate', hear: (event: Lasting) => void): void;
  addEventListener(on: 'fetch', hear: (event: FetchAsked) => void): void;
}

export interface Lasting {
  waitUntil(work: Promise<unknown>): void;
}

export interface FetchAsked extends Lasting {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
