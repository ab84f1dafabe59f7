/** The sub-pages of Settings, by their word in the address. */
export const SETTINGS_PAGES = [
  ['screen', 'Screen'],
  ['units', 'Units and cutters'],
  ['lights', 'Lights'],
  ['backups', 'Backups'],
  ['files', 'Import and export'],
  ['devices', 'Phones'],
  ['deleted', 'Deleted and history'],
  ['check', 'Check'],
] as const;

export type SettingsPage = (typeof SETTINGS_PAGES)[number][0];

export function settingsPageFrom(word: string | undefined): SettingsPage {
  return SETTINGS_PAGES.find(([key]) => key === word)?.[0] ?? 'screen';
}
