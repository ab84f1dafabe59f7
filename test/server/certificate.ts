import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { HOME_ADDRESS } from './running.ts';

/**
 * A self-signed certificate for the home network's connection; undefined where openssl is not
 * installed.
 */
export function ownCertificate(): { readonly cert: Buffer; readonly key: Buffer } | undefined {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-cert-'));
  try {
    const [cert, key] = [join(folder, 'cert.pem'), join(folder, 'key.pem')];
    const words = `req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -days 2 -subj /CN=kneadwell -addext subjectAltName=IP:${HOME_ADDRESS}`;
    const made = spawnSync('openssl', [...words.split(' '), '-keyout', key, '-out', cert]);
    if (made.status !== 0) return undefined;
    return { cert: readFileSync(cert), key: readFileSync(key) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
