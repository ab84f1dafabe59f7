import { beforeAll, describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { demoShare } from '../../../test/conformance/demo-share.ts';
import { AppError } from '../../core/errors.ts';
import { base45FromBytes, bytesFromBase45 } from '../../core/share/base45.ts';
import { crc16, payloadOfMix, shareFromPayload } from './recipe-payload.ts';
import type { ShareFile } from './share-file.ts';

let file: ShareFile;
beforeAll(async () => {
  file = await demoShare({ licence: 'CC-BY-4.0' });
});

describe('base45', () => {
  it('gives the examples of RFC 9285, both ways', () => {
    const examples = [
      ['AB', 'BB8'],
      ['Hello!!', '%69 VD92EX0'],
      ['base-45', 'UJCLQE7W581'],
      ['ietf!', 'QED8WEX0'],
    ];
    for (const [text, code] of examples) {
      const bytes = new TextEncoder().encode(text);
      expect(base45FromBytes(bytes)).toBe(code);
      expect(bytesFromBase45(code)).toEqual(bytes);
    }
  });

  it('refuses signs that it has not, and sums that are too large', () => {
    for (const bad of ['a', 'AB', 'GGW', 'A', ':::', 'ABCD']) {
      expect(() => bytesFromBase45(bad), bad).toThrow(AppError);
    }
  });
});

describe('the code of a card', () => {
  it('gives the recipe back', () => {
    const back = shareFromPayload(payloadOfMix(file, 0));
    const [mix] = back.mixes;
    const [own] = file.mixes;
    expect(mix).toMatchObject({ name: own.name, code: own.code, look: own.look, basis: own.basis });
    expect(back).toMatchObject({ author: file.author, licence: 'CC-BY-4.0' });
    const named = (of: ShareFile, parts: typeof mix.parts) =>
      parts.map((part) => [of.clays[part.clay].name, part.parts]);
    expect(named(back, mix.parts)).toEqual(named(file, own.parts));
    mix.colour!.lab.forEach((v, i) => {
      expect(Math.abs(v - own.colour!.lab[i])).toBeLessThanOrEqual(0.0501);
    });
  });

  it('has the check value of its checksum', () => {
    expect(crc16([...new TextEncoder().encode('123456789')])).toBe(0x29b1);
  });

  it('is refused in words in every damaged form', () => {
    const { whole } = randomFrom(11);
    const sound = payloadOfMix(file, 1);
    const signs = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';
    for (let i = 0; i < 1000; i++) {
      const at = whole(0, sound.length - 1);
      const damaged =
        i % 2 === 0
          ? sound.slice(0, at)
          : `${sound.slice(0, at)}${signs[whole(0, 44)]}${sound.slice(at + 1)}`;
      if (damaged === sound) continue;
      let code = 'taken';
      try {
        shareFromPayload(damaged);
      } catch (fault) {
        if (!(fault instanceof AppError)) throw fault;
        code = fault.code;
      }
      expect(code, `${i}`).toBe('card-unreadable');
    }
  });
});
