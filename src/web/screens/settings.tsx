import '../look/settings.css';
import '../look/tiles.css';
import { Link, useParams } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { Tabs } from '../parts/tabs.tsx';
import { Backups } from './settings/backups.tsx';
import { Check } from './settings/check.tsx';
import { Cutters } from './settings/cutters.tsx';
import { DeletedRecords } from './settings/deleted.tsx';
import { Devices } from './settings/devices.tsx';
import { History } from './settings/history.tsx';
import { ImportExport } from './settings/import-export.tsx';
import { Lights } from './settings/lights.tsx';
import { Offline } from './settings/offline.tsx';
import { SETTINGS_PAGES, type SettingsPage, settingsPageFrom } from './settings/settings-pages.ts';
import { ThisScreen } from './settings/this-screen.tsx';
import { UnitsPart } from './settings/units-part.tsx';

const PARTS: Readonly<Record<SettingsPage, () => ReactNode>> = {
  screen: () => <ThisScreen />,
  units: () => (
    <>
      <UnitsPart />
      <Cutters />
    </>
  ),
  lights: () => <Lights />,
  backups: () => <Backups />,
  files: () => <ImportExport />,
  devices: () => (
    <>
      <Devices />
      <Offline />
    </>
  ),
  deleted: () => (
    <>
      <DeletedRecords />
      <History />
    </>
  ),
  check: () => <Check />,
};

/** One page of settings at a time; the others are one press away. */
export function Settings() {
  const { page } = useParams({ strict: false }) as { page?: string };
  const open = settingsPageFrom(page);
  return (
    <div className="screen settings">
      <header>
        <h1>Settings</h1>
      </header>
      <div className="settings-sides">
        <Tabs className="tabs settings-pages" label="Settings">
          {SETTINGS_PAGES.map(([key, words]) => (
            <Link
              key={key}
              to="/settings/$page"
              params={{ page: key }}
              {...(key === open ? { 'aria-current': 'page' as const } : {})}
            >
              {words}
            </Link>
          ))}
        </Tabs>
        <div className="settings-open">{PARTS[open]()}</div>
      </div>
    </div>
  );
}
