import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoShare } from '../../../test/conformance/demo-share.ts';
import { damagedShares } from '../../../test/faults/damaged-shares.ts';
import { AppError } from '../../core/errors.ts';
import { modelOfShared } from '../../core/share/model-of-shared.ts';
import { bytesFromShare, shareFromBytes, shareFromText } from './share-codec.ts';
import { claysOfCurves } from './share-curves.ts';
import { SHARE_LIMITS, type ShareFile } from './share-file.ts';

let file: ShareFile;
let bytes: Uint8Array;
beforeAll(async () => {
  file = await demoShare({ clays: 'learned' });
  bytes = bytesFromShare(file);
});

const codeOf = (work: () => unknown) => {
  try {
    work();
  } catch (fault) {
    if (fault instanceof AppError) return fault.code;
    throw fault;
  }
  return 'taken';
};

describe('a share file', () => {
  it('reads back as it was written', () => {
    expect(shareFromBytes(bytes, 'a.json')).toEqual(file);
  });

  it('is refused where one letter changed', () => {
    const text = new TextDecoder().decode(bytes);
    const at = text.indexOf('Rock moss');
    const changed = `${text.slice(0, at)}Sock moss${text.slice(at + 9)}`;
    expect(codeOf(() => shareFromText(changed, 'a.json'))).toBe('share-file-damaged');
  });

  it('is refused where it is too large, before it is read', () => {
    const large = new Uint8Array(SHARE_LIMITS.bytes + 1);
    expect(codeOf(() => shareFromBytes(large, 'a.json'))).toBe('share-file-too-large');
    const deep = `{"format":"kneadwell-share","x":${'['.repeat(1000)}`;
    expect(codeOf(() => shareFromText(deep, 'a.json'))).toBe('share-file-too-large');
  });

  it('is refused where a newer program wrote it, with a word about that', () => {
    const newer = JSON.stringify({ ...file, version: 2 });
    expect(codeOf(() => shareFromText(newer, 'a.json'))).toBe('share-file-version');
  });

  it('is refused in words in every damaged form, and never as a fault of the program', () => {
    for (const { what, damaged, forged } of damagedShares(bytes, 400, 7)) {
      const code = codeOf(() => {
        const read = shareFromBytes(damaged, 'a.json');
        if (read.curves === undefined) return;
        // A damaged file that is a sound one again must also give sound clays.
        const names = read.clays.map(({ name }) => name);
        modelOfShared(claysOfCurves(read.curves, names));
      });
      expect(code, what).not.toBe('internal');
      // A forger may say other things in a sound file, and never more than the file may say.
      const isSound = forged || Buffer.from(damaged).equals(bytes);
      if (code === 'taken' && !isSound) {
        expect(shareFromBytes(damaged, 'a.json'), what).toEqual(file);
      }
    }
  });

  it('is refused where it is any JSON at all', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        expect(codeOf(() => shareFromText(JSON.stringify(value), 'a.json'))).toMatch(
          /^share-file-/,
        );
      }),
      { numRuns: 200, seed: 3 },
    );
  });
});
