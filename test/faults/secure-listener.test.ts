import { request } from 'node:https';
import { describe, expect, it } from 'vitest';
import { ownCertificate } from '../server/certificate.ts';
import { running } from '../server/running.ts';

const certificate = ownCertificate();

function asked(url: string, headers: Record<string, string>, method = 'GET', body?: string) {
  return new Promise<{ status: number; cookie: string }>((resolve, reject) => {
    const call = request(url, { method, headers, ca: certificate!.cert, agent: false });
    call.on('response', (answer) => {
      answer.resume();
      resolve({ status: answer.statusCode ?? 0, cookie: String(answer.headers['set-cookie']) });
    });
    call.on('error', reject);
    call.end(body);
  });
}

// Without openssl no certificate can be made here, and the test is skipped.
describe.skipIf(certificate === undefined)(
  'the home network’s connection with a certificate of your own',
  () => {
    it('speaks https alone, wants a token as before, and gives cookies that are Secure', async () => {
      const here = await running({
        certificate: certificate!,
      });
      const { urls, secure } = (await here.client.call('setNetwork', { body: { on: true } })).body;
      expect(secure).toBe(true);
      expect(urls[0]).toMatch(/^https:/);
      const records = `${urls[0]}/api/v1/records`;
      expect((await asked(records, {})).status).toBe(401);
      const { code } = (await here.client.call('startPairing', {})).body;
      const headers = { 'content-type': 'application/json', origin: urls[0] };
      const sent = JSON.stringify({ code, name: 'Phone' });
      const paired = await asked(`${urls[0]}/api/v1/pair`, headers, 'POST', sent);
      expect(paired.status).toBe(201);
      expect(paired.cookie).toContain('; Secure');
      const [cookie] = paired.cookie.split(';');
      expect((await asked(records, { cookie })).status).toBe(200);
      await expect(fetch(records.replace('https:', 'http:'))).rejects.toThrow();
      await here.end();
    });
  },
);
