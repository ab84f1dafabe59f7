import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { API_PATHS, API_PREFIX, type ApiName, FOLDER_PASS_HEADER } from '../../src/api/paths.ts';
import { ROUTES } from '../../src/api/routes.ts';
import { HOME_ADDRESS, type Running, rawCall, running } from '../server/running.ts';

let here: Running;
let home: string;
let clock = Date.UTC(2026, 0, 1);
beforeAll(async () => {
  here = await running({ nowEpochMs: () => clock });
  const { body } = await here.client.call('setNetwork', { body: { on: true } });
  [home] = body.urls;
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
});

const api = (base: string, path: string) => `${base}${API_PREFIX}${path}`;
const json = (body: unknown, headers: Record<string, string> = {}) => ({
  method: 'POST',
  headers: { 'content-type': 'application/json', ...headers },
  body: JSON.stringify(body),
});
const problem = (text: string) => JSON.parse(text) as { code: string; status: number };

async function paired(name = 'Phone') {
  const { code } = (await here.client.call('startPairing', {})).body;
  const answer = await rawCall(api(home, '/pair'), json({ code, name, as: 'program' }));
  expect(answer.status).toBe(201);
  const { device, token } = JSON.parse(answer.text) as { device: { id: string }; token: string };
  return { id: device.id, token, headers: { authorization: `Bearer ${token}` } };
}

/** A minute later, so that earlier tries no longer count. */
const later = () => {
  clock += 10 * 60 * 1000;
};

describe('the door of this machine', () => {
  it('is the only one open unless the home network was let in', async () => {
    const alone = await running();
    const { port } = new URL(alone.server.url);
    const outcome = await new Promise<string>((resolve) => {
      const socket = connect({ host: HOME_ADDRESS, port: Number(port) });
      socket.on('connect', () => resolve('in')).on('error', () => resolve('refused'));
    });
    expect(outcome).toBe('refused');
    expect((await alone.client.call('network', {})).body).toMatchObject({ on: false, urls: [] });
    await alone.end();
  });

  it.each([
    ['a name pointed at this machine by somebody else', 'evil.example'],
    ['the same with our port', 'evil.example:4747'],
    ['a name that begins like ours', 'localhost.evil.example'],
    ['another address', '192.0.2.7'],
    ['a name that is none', '.'],
    ['a name with a path in it', 'localhost/x'],
  ])('refuses %s', async (_, host) => {
    const answer = await rawCall(api(here.server.url, '/records'), { headers: { host } });
    expect(problem(answer.text)).toMatchObject({ status: 421, code: 'other-host' });
  });

  it.each([
    ['a page elsewhere', { origin: 'http://evil.example' }],
    ['a page without an origin', { origin: 'null' }],
    ['another port of this machine', { origin: 'http://127.0.0.1:1' }],
    ['a form elsewhere that tells no origin', { 'sec-fetch-site': 'cross-site' }],
    ['another program of this machine', { 'sec-fetch-site': 'same-site' }],
  ])('refuses a change from %s', async (_, headers) => {
    const sent = { kind: 'collection', body: { name: 'Forged' } };
    const answer = await rawCall(api(here.server.url, '/records'), json(sent, headers));
    expect(answer.status).toBe(403);
    expect(problem(answer.text).code).toBe('other-origin');
  });

  it('takes a change from its own page', async () => {
    const sent = { kind: 'collection', body: { name: 'Own' } };
    const headers = { origin: here.server.url, 'sec-fetch-site': 'same-origin' };
    expect((await rawCall(api(here.server.url, '/records'), json(sent, headers))).status).toBe(201);
  });

  it('takes no body a form could send', async () => {
    for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data']) {
      const answer = await rawCall(api(here.server.url, '/records'), {
        ...json({ kind: 'collection', body: { name: 'Form' } }),
        headers: { 'content-type': type },
      });
      expect(answer.status).toBe(415);
    }
  });

  it('lets nobody take in what is the folder’s without the pass that lies there', async () => {
    for (const pass of [undefined, '', 'x', 'x'.repeat(43)]) {
      const headers: Record<string, string> =
        pass === undefined ? {} : { [FOLDER_PASS_HEADER]: pass };
      const call = json({ records: [], what: 'x' }, headers);
      const answer = await rawCall(api(here.server.url, '/takes'), call);
      expect([answer.status, problem(answer.text).code]).toEqual([409, 'other-folder']);
    }
    // A call with an access key means the book of that folder, whatever it asks for.
    const headers = { [FOLDER_PASS_HEADER]: 'x' };
    expect((await rawCall(api(here.server.url, '/records'), { headers })).status).toBe(409);
  });

  it('lends nobody the owner’s leave who passes calls of others on', async () => {
    for (const headers of [
      { 'x-forwarded-for': '203.0.113.9' },
      { forwarded: 'for=203.0.113.9' },
      { via: '1.1 relay' },
      { 'x-forwarded-host': 'book.example' },
      { 'x-forwarded-proto': 'https' },
      { 'x-forwarded-port': '443' },
      { 'x-forwarded-server': 'relay' },
      { 'x-forwarded-prefix': '/book' },
      { 'x-forwarded': 'for=203.0.113.9' },
      { 'x-original-url': '/x' },
      { 'x-real-ip': '203.0.113.9' },
      { 'x-client-ip': '203.0.113.9' },
      { 'x-cluster-client-ip': '203.0.113.9' },
      { 'true-client-ip': '203.0.113.9' },
      { 'x-scheme': 'https' },
      { 'X-REAL-IP': '' },
      // Names that programs of one maker or another add.
      ...[
        'a-connecting-ip',
        'a-client-ip',
        'x-a-clientip',
        'x-a-user-ip',
        'x-source-ip',
        'x-originating-ip',
        'x-envoy-external-address',
        'x-proxyuser-ip',
        'proxy-client-ip',
        'a-proxy-client-ip',
        'proxy-connection',
        'max-forwards',
        'cdn-loop',
        'surrogate-capability',
        'front-end-https',
        'x-url-scheme',
        'x-rewrite-url',
        'x-nginx-proxy',
        'x-remote-addr',
      ].map((name) => ({ [name]: '1' })),
    ]) {
      const answer = await rawCall(api(here.server.url, '/records'), { headers: { ...headers } });
      expect([headers, answer.status]).toEqual([headers, 401]);
    }
  });
});

describe('the door of the home network', () => {
  const parameter = { id: 'x', seq: '1' };
  const calls = Object.entries(API_PATHS).map(([name, { method, path }]) => ({
    name: name as ApiName,
    method,
    path: path.replace(/:(\w+)/g, (_, word: 'id' | 'seq') => parameter[word]),
  }));

  it('lets nobody do anything without a token, but ask whether it is there, and pair', async () => {
    later();
    for (const { name, method, path } of calls) {
      if (ROUTES[name].who === 'anyone') continue;
      const answer = await rawCall(api(home, path), { method });
      expect([name, answer.status]).toEqual([name, 401]);
      expect(answer.headers['www-authenticate']).toContain('Bearer');
    }
    for (const path of ['/api', '/api/v1/openapi.json']) {
      expect((await rawCall(`${home}${path}`)).status).toBe(401);
    }
    expect((await rawCall(api(home, '/health'))).status).toBe(200);
  });

  it('lets a paired device do its work, and not what is the owner’s', async () => {
    const { headers } = await paired();
    expect((await rawCall(api(home, '/records'), { headers })).status).toBe(200);
    for (const { name, method, path } of calls) {
      if (!['owner', 'folder'].includes(ROUTES[name].who)) continue;
      const answer = await rawCall(api(home, path), { method, headers });
      expect([name, answer.status, problem(answer.text).code]).toEqual([name, 403, 'owner-only']);
    }
  });

  it('believes no header about where a call comes from', async () => {
    later();
    for (const headers of [
      { 'x-forwarded-for': '127.0.0.1' },
      { forwarded: 'for=127.0.0.1' },
      { 'x-real-ip': '127.0.0.1' },
      { host: new URL(here.server.url).host },
    ]) {
      const { status } = await rawCall(api(home, '/records'), { headers });
      expect([401, 421]).toContain(status);
    }
  });

  it('pairs a page by a cookie no script can read and no other site sends', async () => {
    later();
    const { code } = (await here.client.call('startPairing', {})).body;
    const answer = await rawCall(
      api(home, '/pair'),
      json({ code: code.toLowerCase().replace('-', ' '), name: 'Tablet' }, { origin: home }),
    );
    expect(answer.status).toBe(201);
    expect(answer.text).not.toContain('token');
    const [cookie] = answer.headers['set-cookie'] as string[];
    expect(cookie).toMatch(/^kneadwell=[\w.-]+; Path=\/; HttpOnly; SameSite=Strict; Max-Age=\d+$/);
    const headers = { cookie: cookie.split(';')[0] };
    const who = await rawCall(api(home, '/devices/this'), { headers });
    expect(JSON.parse(who.text)).toMatchObject({ owner: false, device: { name: 'Tablet' } });
  });

  it('takes a code once, for five minutes, and not after five wrong tries', async () => {
    const pair = (code: string) => rawCall(api(home, '/pair'), json({ code, name: 'x' }));
    const fresh = async () => (await here.client.call('startPairing', {})).body.code;
    const once = await fresh();
    expect(once).toMatch(/^[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}$/);
    later();
    expect((await pair(await fresh())).status).toBe(201);

    const old = await fresh();
    clock += 5 * 60 * 1000 + 1;
    expect(problem((await pair(old)).text).code).toBe('code-not-known');

    later();
    const guessed = await fresh();
    for (let i = 0; i < 5; i++) expect((await pair('AAAA-AAAA')).status).toBe(403);
    expect((await pair(guessed)).status).toBe(403);

    later();
    const used = await fresh();
    expect((await pair(used)).status).toBe(201);
    expect((await pair(used)).status).toBe(403);

    later();
    const voided = await fresh();
    await here.client.call('stopPairing', {});
    expect((await pair(voided)).status).toBe(403);
  });

  it('slows down who tries codes or tokens', async () => {
    later();
    const pair = () => rawCall(api(home, '/pair'), json({ code: 'AAAA-AAAA', name: 'x' }));
    const answers = [];
    for (let i = 0; i < 12; i++) answers.push(await pair());
    const last = answers[11];
    expect(answers.map(({ status }) => status)).toEqual([...Array(10).fill(403), 429, 429]);
    expect(Number(last.headers['retry-after'])).toBeGreaterThan(0);
    later();
    const statuses = [];
    for (let i = 0; i < 35; i++) {
      const headers = { authorization: `Bearer x.${i}` };
      statuses.push((await rawCall(api(home, '/records'), { headers })).status);
    }
    expect(statuses.slice(0, 30)).toEqual(Array(30).fill(401));
    expect(statuses.slice(30)).toEqual(Array(5).fill(429));
    later();
  });

  it('shuts out a device whose leave was taken, its open streams too', async () => {
    const { id, headers } = await paired();
    const other = await paired('Other');
    const stream = await fetch(api(home, '/events'), { headers });
    const reader = stream.body!.getReader();
    await reader.read();
    const notYours = await rawCall(api(home, `/devices/${id}`), {
      method: 'DELETE',
      headers: other.headers,
    });
    expect(notYours.status).toBe(403);
    await here.client.call('revokeDevice', { params: { id } });
    let ended = false;
    while (!ended) ended = (await reader.read()).done;
    expect((await rawCall(api(home, '/records'), { headers })).status).toBe(401);
    expect((await here.client.call('listDevices', {})).body.devices.map((d) => d.id)).not.toContain(
      id,
    );
  });

  it('is shut again when it is switched off, and connections through it end', async () => {
    const { headers } = await paired();
    expect((await rawCall(api(home, '/records'), { headers })).status).toBe(200);
    await here.client.call('setNetwork', { body: { on: false } });
    await expect(rawCall(api(home, '/records'), { headers })).rejects.toThrow(/ECONNREFUSED/);
    const again = await here.client.call('setNetwork', { body: { on: true } });
    expect(again.body.urls).toEqual([home]);
    expect((await rawCall(api(home, '/records'), { headers })).status).toBe(200);
  });

  it('stays as it was set, and devices stay paired, over a restart; tokens are kept as hashes', async () => {
    const first = await running();
    const url = (await first.client.call('setNetwork', { body: { on: true } })).body.urls[0];
    const { code } = (await first.client.call('startPairing', {})).body;
    const answer = await rawCall(api(url, '/pair'), json({ code, name: 'p', as: 'program' }));
    const { token } = JSON.parse(answer.text) as { token: string };
    await first.end(true);
    const { readdirSync, readFileSync, statSync } = await import('node:fs');
    const secret = token.split('.')[1];
    for (const name of readdirSync(first.folder, { recursive: true }) as string[]) {
      const path = `${first.folder}/${name}`;
      if (statSync(path).isFile()) expect(readFileSync(path, 'latin1')).not.toContain(secret);
    }
    const second = await running({}, first.folder);
    const [there] = (await second.client.call('network', {})).body.urls;
    const headers = { authorization: `Bearer ${token}` };
    expect((await rawCall(api(there, '/records'), { headers })).status).toBe(200);
    await second.end();
  });

  it('writes no tokens, codes, bodies or search words into the log', async () => {
    const { token, headers } = await paired('Secret name');
    await rawCall(api(home, '/search?text=hidden-word'), { headers });
    const log = here.log.join('');
    expect(log).toContain('GET /api/v1/search 200');
    for (const secret of [token, token.split('.')[1], 'hidden-word', 'Secret name', 'Bearer']) {
      expect(log).not.toContain(secret);
    }
  });
});

describe('what is let in', () => {
  it('is answered with headers that let a page do nothing but what it must', async () => {
    for (const path of ['/', '/api', '/api/v1/records', '/api/v1/none', '/none.js']) {
      const { headers } = await rawCall(`${here.server.url}${path}`);
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'no-referrer',
        'cross-origin-resource-policy': 'same-origin',
        'cross-origin-opener-policy': 'same-origin',
      });
      const policy = String(headers['content-security-policy']);
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).not.toMatch(/'unsafe-(?:inline|eval|hashes)'|\*|http:/);
      expect(headers['access-control-allow-origin']).toBeUndefined();
      expect(headers.server).toBeUndefined();
      expect(headers['x-powered-by']).toBeUndefined();
    }
  });

  it('is no larger than what a call may need', async () => {
    const large = `"${'x'.repeat(1024 * 1024)}"`;
    const answer = await rawCall(api(here.server.url, '/records'), {
      ...json(''),
      body: large,
    });
    expect(problem(answer.text)).toMatchObject({ status: 413, code: 'body-too-large' });
  });

  it('refuses a photo that is larger decoded than it seems, and anything else called a photo', async () => {
    const head = Buffer.alloc(33);
    head.write('\x89PNG\r\n\x1a\n', 0, 'latin1');
    head.writeUInt32BE(13, 8);
    head.write('IHDR', 12);
    head.writeUInt32BE(60_000, 16);
    head.writeUInt32BE(60_000, 20);
    const send = (type: string, body: Uint8Array | string) =>
      rawCall(api(here.server.url, '/photos'), {
        method: 'POST',
        headers: { 'content-type': type },
        body,
      });
    const bomb = await send('image/png', head);
    expect(problem(bomb.text)).toMatchObject({ status: 413, code: 'photo-too-large' });
    const page = await send('image/png', '<html><script>alert(1)</script>');
    expect(problem(page.text).code).toBe('photo-unreadable');
    const lie = await send('image/jpeg', head);
    expect(problem(lie.text).code).toBe('photo-unreadable');
    const svg = await send('image/svg+xml', '<svg onload="alert(1)"/>');
    expect(svg.status).toBe(415);
  });

  it.each([
    '/../package.json',
    '/..%2f..%2fpackage.json',
    '/%2e%2e/%2e%2e/etc/passwd',
    '/assets/../../../../etc/passwd',
    '/.built-from.map',
    '/api/v1/photos/..%2f..%2fbook.sqlite/bytes',
    '/api/v1/records/%00',
    '/api/v1/records/%ff',
    `/api/v1/records/${'x'.repeat(300)}`,
  ])('leads nowhere by the path %s', async (path) => {
    const answer = await rawCall(`${here.server.url}${path}`);
    expect(answer.text).not.toMatch(/root:|"dependencies"|SQLite format/);
    expect(answer.status).toBeLessThan(500);
  });

  it('changes no object of the program by names that objects have', async () => {
    const sent = '{"kind":"label","body":{"name":"x","__proto__":{"polluted":1}}}';
    const answer = await rawCall(api(here.server.url, '/records'), { ...json(''), body: sent });
    expect(answer.status).toBe(400);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });

  it('tells nothing of the inside when something was not foreseen', async () => {
    const broken = await running();
    Object.assign(broken.server.book.ports.store, {
      counts: () => Promise.reject(new Error('secret /home/maker/book.sqlite')),
    });
    const answer = await rawCall(api(broken.server.url, '/counts'));
    expect(answer.status).toBe(500);
    expect(problem(answer.text).code).toBe('unforeseen');
    expect(answer.text).not.toMatch(/secret|sqlite|at .*\.ts/);
    expect(broken.troubles).toHaveLength(1);
    await broken.end();
  });

  it('goes on when somebody who listens to the book fails at it', async () => {
    const listening = await running();
    listening.server.book.listen(() => {
      throw new Error('a listener');
    });
    const made = await listening.client.call('makeRecord', {
      body: { kind: 'collection', body: { name: 'x' } },
    });
    expect(made.status).toBe(201);
    expect(listening.troubles).toHaveLength(1);
    expect((await listening.client.call('health', {})).status).toBe(200);
    await listening.end();
  });
});
