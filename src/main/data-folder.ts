import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

/**
 * The folder of a person's book: the one named, else KNEADWELL_FOLDER, else where the system keeps the
 * data of programs.
 * Source:  XDG Base Directory Specification 0.8; on Windows and macOS their usual places (common practice,
 *          no source). An XDG path that is not absolute is passed over, as the specification has it
 */
export function dataFolder(
  named: string | undefined,
  env: Readonly<Record<string, string | undefined>> = process.env,
  platform: NodeJS.Platform = process.platform,
  home: string = homedir(),
): string {
  const said = named ?? env.KNEADWELL_FOLDER;
  if (said !== undefined && said !== '') return resolve(said);
  if (platform === 'win32') {
    return join(env.LOCALAPPDATA ?? join(home, 'AppData', 'Local'), 'Kneadwell');
  }
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Kneadwell');
  const xdg = env.XDG_DATA_HOME;
  const base = xdg?.startsWith('/') === true ? xdg : join(home, '.local', 'share');
  return join(base, 'kneadwell');
}
