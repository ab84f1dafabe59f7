/** What others may do with shared recipes, from which the author picks; the first is the usual one. */
export interface Licence {
  readonly id: string;
  readonly name: string;
  /** In one sentence, for people who never read licences. */
  readonly says: string;
}

/**
 * Licences an author may pick.
 * Source: from memory, not read again; the licence's own text counts. A recipe as such may not be protected,
 *         the words and pictures around it are
 */
export const LICENCES = [
  {
    id: 'ask-me',
    name: 'Ask me',
    says: 'Ask the author before you use or pass on these recipes.',
  },
  {
    id: 'personal',
    name: 'Personal use',
    says: 'For your own work. You may sell what you make with these recipes, but not the recipes.',
  },
  {
    id: 'CC-BY-4.0',
    name: 'CC BY 4.0',
    says: 'Use, change and pass on, also for money, if you name the author.',
  },
  {
    id: 'CC-BY-SA-4.0',
    name: 'CC BY-SA 4.0',
    says: 'Use, change and pass on, also for money, if you name the author and share under the same terms.',
  },
  {
    id: 'CC-BY-NC-4.0',
    name: 'CC BY-NC 4.0',
    says: 'Use, change and pass on, not for money, if you name the author.',
  },
  {
    id: 'CC-BY-NC-SA-4.0',
    name: 'CC BY-NC-SA 4.0',
    says: 'Use, change and pass on, not for money, if you name the author and share under the same terms.',
  },
  {
    id: 'CC-BY-ND-4.0',
    name: 'CC BY-ND 4.0',
    says: 'Pass on unchanged, also for money, if you name the author.',
  },
  {
    id: 'CC-BY-NC-ND-4.0',
    name: 'CC BY-NC-ND 4.0',
    says: 'Pass on unchanged, not for money, if you name the author.',
  },
  {
    id: 'CC0-1.0',
    name: 'CC0 1.0',
    says: 'Use, change and pass on as you like; nobody needs to be named.',
  },
] as const satisfies readonly Licence[];

export type LicenceId = (typeof LICENCES)[number]['id'];
export const LICENCE_IDS = LICENCES.map(({ id }) => id) as [LicenceId, ...LicenceId[]];

export function licenceOf(id: LicenceId): Licence {
  return LICENCES.find((licence) => licence.id === id)!;
}
