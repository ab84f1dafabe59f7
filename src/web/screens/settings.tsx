import '../look/settings.css';
import { Backups } from './settings/backups.tsx';
import { Check } from './settings/check.tsx';
import { DeletedRecords } from './settings/deleted.tsx';
import { Devices } from './settings/devices.tsx';
import { History } from './settings/history.tsx';
import { ImportExport } from './settings/import-export.tsx';
import { Lights } from './settings/lights.tsx';
import { Offline } from './settings/offline.tsx';
import { ThisScreen } from './settings/this-screen.tsx';
import { UnitsPart } from './settings/units-part.tsx';

/** Display, units, backups, devices, deleted items and history. */
export function Settings() {
  return (
    <div className="screen settings">
      <header>
        <h1>Settings</h1>
      </header>
      <ThisScreen />
      <UnitsPart />
      <Lights />
      <Backups />
      <ImportExport />
      <Devices />
      <Offline />
      <DeletedRecords />
      <History />
      <Check />
    </div>
  );
}
