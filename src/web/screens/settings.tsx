import '../look/settings.css';
import { Backups } from './settings/backups.tsx';
import { Health } from './settings/check.tsx';
import { DeletedRecords } from './settings/deleted.tsx';
import { Devices } from './settings/devices.tsx';
import { History } from './settings/history.tsx';
import { OutAndIn } from './settings/import-export.tsx';
import { Judging } from './settings/lights.tsx';
import { WithoutProgram } from './settings/offline.tsx';
import { ThisScreen } from './settings/this-screen.tsx';
import { UnitsPart } from './settings/units-part.tsx';

/** How she likes it shown, who may come in, what lies in the bin, what was done. */
export function Settings() {
  return (
    <div className="screen settings">
      <header>
        <h1>Settings</h1>
      </header>
      <ThisScreen />
      <UnitsPart />
      <Judging />
      <Backups />
      <OutAndIn />
      <Devices />
      <WithoutProgram />
      <DeletedRecords />
      <History />
      <Health />
    </div>
  );
}
