import type { ApiAnswer } from '../../../contract/api/routes.ts';
import type { ClayFile } from '../../../contract/clay-file.ts';

export type Inspected = ApiAnswer<'inspectClay'>;
export type Report = ClayFile['report'];
