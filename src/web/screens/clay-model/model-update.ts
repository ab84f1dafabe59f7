import type { JobAsk } from '../../../api/job-routes.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { type JobHere, useJob } from '../../book/job.ts';
import { showNotice } from '../../book/notice.ts';
import { queries } from '../../book/queries.ts';

/** Learning from all tiles of the book; with `check` the model is compared with the one in use, not saved. */
export function learnCall(check = false): JobAsk {
  const day = new Date().toISOString().slice(0, 10);
  return { do: 'learn', name: `Learned on ${day}`, ...(check ? { check } : {}) };
}

/** The update of the clay model, also one that was started elsewhere. */
export function useModelUpdate(): JobHere {
  return useJob(() => void queries.invalidateQueries({ queryKey: ['all', 'clay-model'] }), 'learn');
}

/** Deletes the newest model, so that the one before is used again; Undo brings the newest back. */
export async function goBack({ id, version }: RecordOf<'clay-model'>): Promise<void> {
  try {
    await sendChange('Went back to the clay model before', [{ do: 'delete', id, version }]);
  } catch (fault) {
    showNotice({ text: wordsOf(fault) });
  }
}
