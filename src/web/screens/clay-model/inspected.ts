import type { ApiAnswer } from '../../../api/routes.ts';
import type { ClayFile } from '../../../domain/clay-file.ts';

export type Inspected = ApiAnswer<'inspectClay'>;
export type Report = ClayFile['report'];
