import type { RequestListener } from 'node:http';
import { hostname, networkInterfaces } from 'node:os';
import type { ServerStateStore } from '../book/server-state.ts';
import type { ConnectionLimits } from '../server/connection-limits.ts';
import type { NetworkState } from '../server/dependencies.ts';
import {
  type Certificate,
  type NetworkListener,
  networkListener,
} from '../server/network-listener.ts';

export interface HomeNetwork {
  state(): NetworkState;
  /** Opens or shuts the door, and remembers it. */
  set(on: boolean): Promise<NetworkState>;
  /** Opens the door if it was last on, at the port of the owner's door, because devices save the address. */
  begin(serve: RequestListener, port: number): Promise<void>;
  shut(): Promise<void>;
}

const SPACE = 'network';

/** The switch of the home network's door. */
export function homeNetwork(options: {
  readonly side: ServerStateStore;
  readonly certificate?: Certificate;
  /** Looked up where absent. */
  readonly addresses?: () => readonly string[];
  readonly limits?: ConnectionLimits;
}): HomeNetwork {
  const { side, certificate, addresses = homeAddresses, limits } = options;
  let door: NetworkListener | undefined;
  let at = 0;
  const state = (): NetworkState => {
    const urls = door?.urls() ?? [];
    return { on: urls.length > 0, urls, secure: certificate !== undefined };
  };
  const turn = async (on: boolean) => {
    await door?.shut();
    if (on) await door?.open(addresses(), at);
  };
  return {
    state,
    async set(on) {
      await turn(on);
      await side.put(SPACE, 'on', on);
      return state();
    },
    async begin(serve, port) {
      at = port;
      door = networkListener(serve, certificate, limits);
      if ((await side.get(SPACE, 'on')) === true) await turn(true);
    },
    shut: async () => door?.shut(),
  };
}

/** Addresses of this machine that others at home can reach. */
function homeAddresses(): readonly string[] {
  return Object.values(networkInterfaces())
    .flatMap((all) => all ?? [])
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => address);
}

export function hostNames(): readonly string[] {
  const name = hostname().toLowerCase();
  return [name, `${name.replace(/\.local$/, '')}.local`];
}
