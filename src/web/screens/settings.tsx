import '../look/settings.css';
import { Bin } from './settings/bin.tsx';
import { Devices } from './settings/devices.tsx';
import { Health } from './settings/health.tsx';
import { History } from './settings/history.tsx';
import { Judging } from './settings/judging.tsx';
import { Keeping } from './settings/keeping.tsx';
import { OutAndIn } from './settings/out-and-in.tsx';
import { ThisScreen } from './settings/this-screen.tsx';
import { UnitsPart } from './settings/units-part.tsx';
import { WithoutProgram } from './settings/without-program.tsx';

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
      <Keeping />
      <OutAndIn />
      <Devices />
      <WithoutProgram />
      <Bin />
      <History />
      <Health />
    </div>
  );
}
