import type { BakeAnswer, BakeSubject } from '../../verbs/bake.ts';
import type { HoldAnswer, HoldSubject } from '../../verbs/hold.ts';

/** A question about thin parts or the oven, checked by its verb. */
export type StrengthAsk =
  | { readonly verb: 'hold'; readonly subject: HoldSubject; readonly question: unknown }
  | { readonly verb: 'bake'; readonly subject: BakeSubject; readonly question: unknown };
export type StrengthRequest = StrengthAsk & { readonly id: number };

export interface StrengthReply {
  readonly id: number;
  readonly answer?: HoldAnswer | BakeAnswer;
  readonly fault?: string;
}
