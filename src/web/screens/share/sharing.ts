import type { LicenceId } from '../../../domain/share/licences.ts';
import type { SharedMixes } from '../../../domain/share/share-choice.ts';

/** What every call for something that leaves says first. */
export interface Sharing {
  readonly author: string;
  readonly link?: string;
  readonly words?: string;
  readonly licence: LicenceId;
  readonly mixes: SharedMixes;
}
