/** How far a long piece of work has come. */
export interface ProgressReport {
  readonly what: string;
  readonly done?: number;
  readonly total?: number;
}
