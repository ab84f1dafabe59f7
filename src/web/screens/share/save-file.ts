import { wordsOf } from '../../book/change.ts';
import { showNotice } from '../../book/notice.ts';

/** Saves what the server makes under a name, as a download; a fault is said in the notice line. */
export async function saveFile(
  make: () => Promise<{ readonly body: Uint8Array | Blob }>,
  name: string,
): Promise<void> {
  try {
    const { body } = await make();
    const url = URL.createObjectURL(new Blob([body as BlobPart]));
    const link = document.createElement('a');
    link.href = url;
    link.download = name;
    link.click();
    // Browsers read the file a moment after the click.
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
  } catch (fault) {
    showNotice({ text: wordsOf(fault) });
  }
}
