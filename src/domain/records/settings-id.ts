/** The one settings record. */
export const SETTINGS_ID = 'settings';
