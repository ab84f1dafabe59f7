import type { ServerDependencies } from './dependencies.ts';
import { cameByNetwork, clearTokenCookie, type Guard, setTokenCookie } from './guard.ts';
import type { Handlers } from './handler.ts';
import { plainFault } from './problem-answers.ts';

type ListenerName =
  | 'health'
  | 'network'
  | 'setNetwork'
  | 'startPairing'
  | 'stopPairing'
  | 'pair'
  | 'listDevices'
  | 'thisDevice'
  | 'revokeDevice';

export function accessHandlers(parts: ServerDependencies, guard: Guard): Handlers<ListenerName> {
  const { book, devices, network, qrSvg, version } = parts;
  let search: 'reading' | 'ready' = 'reading';
  book.index.ready.then(
    () => {
      search = 'ready';
    },
    () => {},
  );
  return {
    async health() {
      return { body: { status: 'ok', version, search } };
    },
    async network() {
      return { body: network.state() };
    },
    async setNetwork({ body: { on } }) {
      return { body: await network.set(on) };
    },
    async startPairing() {
      const { on, urls } = network.state();
      if (!on) throw networkOff();
      const { code, expiresAt } = devices.startPairing();
      const links = urls.map((url) => `${url}/#pair=${code}`);
      const [link] = links;
      const qr = link === undefined ? {} : { qrSvg: await qrSvg(link) };
      return { body: { code, expiresAt, urls: links, ...qr } };
    },
    async stopPairing() {
      devices.stopPairing();
      return { body: undefined };
    },
    async pair({ body: { code, name, as } }, { caller, request, reply }) {
      if (!caller.owner) guard.pairing.count(request.ip);
      const { device, token } = await devices.pair(code, name);
      if (as === 'program') return { body: { device, token } };
      setTokenCookie(reply, token, cameByNetwork(request) && network.state().secure);
      return { body: { device } };
    },
    async listDevices() {
      return { body: { devices: devices.list() } };
    },
    async thisDevice(_, { caller: { owner, device } }) {
      return { body: { owner, ...(device === undefined ? {} : { device }) } };
    },
    async revokeDevice({ params: { id } }, { caller, reply }) {
      if (!caller.owner && caller.device?.id !== id) throw notYours();
      if (!(await devices.revoke(id))) throw noSuchDevice(id);
      if (!caller.owner) clearTokenCookie(reply);
      return { body: undefined };
    },
  };
}

function networkOff() {
  return plainFault(
    'network-off',
    'conflict',
    'The home network is shut out, so no device can reach the book.',
    'Let the home network in first.',
  );
}

function notYours() {
  return plainFault(
    'owner-only',
    'bad-input',
    'A device can give up its own leave only.',
    'Do this at the computer that holds the book.',
  );
}

function noSuchDevice(id: string) {
  return plainFault(
    'no-such-device',
    'not-found',
    `No device ${id} is paired.`,
    'The list shows the paired devices.',
  );
}
