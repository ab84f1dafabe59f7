/** Before every path of the first version of the API. */
export const API_PREFIX = '/api/v1';

/** Carries the pass saved in the folder of a served book, which only programs that can read the folder know. */
export const FOLDER_PASS_HEADER = 'kneadwell-folder-pass';

export interface ApiPath {
  readonly method: 'GET' | 'POST' | 'PUT' | 'DELETE';
  /** `:word` stands for a parameter. */
  readonly path: string;
}

/**
 * Where everything is. Kept apart from the shapes (routes.ts), so that a page can call without carrying
 * the library that checks them.
 */
export const API_PATHS = {
  health: { method: 'GET', path: '/health' },

  listRecords: { method: 'GET', path: '/records' },
  makeRecord: { method: 'POST', path: '/records' },
  getRecord: { method: 'GET', path: '/records/:id' },
  putRecord: { method: 'PUT', path: '/records/:id' },
  binRecord: { method: 'DELETE', path: '/records/:id' },
  restoreRecord: { method: 'POST', path: '/records/:id/restore' },
  recordHistory: { method: 'GET', path: '/records/:id/history' },
  countRecords: { method: 'GET', path: '/counts' },
  search: { method: 'GET', path: '/search' },
  nearest: { method: 'GET', path: '/nearest' },
  stock: { method: 'GET', path: '/stock' },
  purgeDeleted: { method: 'DELETE', path: '/bin' },

  mixList: { method: 'GET', path: '/sheets/mixes' },
  tileList: { method: 'GET', path: '/sheets/tiles' },
  tagsOfMixes: { method: 'GET', path: '/tags' },
  colours: { method: 'GET', path: '/colours' },
  samples: { method: 'GET', path: '/records/:id/samples' },
  wordsInText: { method: 'POST', path: '/words' },

  listChanges: { method: 'GET', path: '/changes' },
  makeChange: { method: 'POST', path: '/changes' },
  getChange: { method: 'GET', path: '/changes/:seq' },
  undo: { method: 'POST', path: '/undo' },
  redo: { method: 'POST', path: '/redo' },
  events: { method: 'GET', path: '/events' },

  savePhoto: { method: 'POST', path: '/photos' },
  photoBytes: { method: 'GET', path: '/photos/:id/bytes' },
  photoPreview: { method: 'GET', path: '/photos/:id/preview' },
  acceptPhotos: { method: 'POST', path: '/photos/accept' },
  addPhotoDraft: { method: 'POST', path: '/photo-drafts' },
  getPhotoDraft: { method: 'GET', path: '/photo-drafts/:id' },
  dropPhotoDraft: { method: 'DELETE', path: '/photo-drafts/:id' },
  draftPreview: { method: 'GET', path: '/photo-drafts/:id/preview' },
  traySheet: { method: 'GET', path: '/tray-sheet' },

  inspectClay: { method: 'GET', path: '/clay-models/:id' },
  clayBytes: { method: 'GET', path: '/clay-models/:id/bytes' },
  predict: { method: 'POST', path: '/clay-models/:id/predict' },

  startJob: { method: 'POST', path: '/jobs' },
  listJobs: { method: 'GET', path: '/jobs' },
  getJob: { method: 'GET', path: '/jobs/:id' },
  cancelJob: { method: 'POST', path: '/jobs/:id/cancel' },

  listBackups: { method: 'GET', path: '/backups' },
  backupBytes: { method: 'GET', path: '/backups/:name/bytes' },
  lookAtBackup: { method: 'POST', path: '/backups/:name/look' },
  offerBackup: { method: 'POST', path: '/restores' },
  restoreBook: { method: 'POST', path: '/restores/:id' },
  dropRestore: { method: 'DELETE', path: '/restores/:id' },

  saveLearned: { method: 'POST', path: '/clay-models' },
  bringFile: { method: 'POST', path: '/takes/files' },
  importRecords: { method: 'POST', path: '/takes' },

  previewShare: { method: 'POST', path: '/share/preview' },
  makeShare: { method: 'POST', path: '/share/file' },
  makeCard: { method: 'POST', path: '/share/card' },
  printSheets: { method: 'POST', path: '/share/sheets' },
  publishPage: { method: 'POST', path: '/share/page' },
  readCard: { method: 'POST', path: '/share/code' },

  exportBook: { method: 'GET', path: '/export' },

  demo: { method: 'GET', path: '/demo' },
  moveDemoIn: { method: 'POST', path: '/demo' },
  clearDemoOut: { method: 'DELETE', path: '/demo' },

  network: { method: 'GET', path: '/network' },
  setNetwork: { method: 'PUT', path: '/network' },
  startPairing: { method: 'POST', path: '/pairing' },
  stopPairing: { method: 'DELETE', path: '/pairing' },
  pair: { method: 'POST', path: '/pair' },
  listDevices: { method: 'GET', path: '/devices' },
  thisDevice: { method: 'GET', path: '/devices/this' },
  revokeDevice: { method: 'DELETE', path: '/devices/:id' },
} as const satisfies Record<string, ApiPath>;

export type ApiName = keyof typeof API_PATHS;
