import { type Look, setLook, useLook } from '../../look/look.ts';
import { Choice } from '../../parts/choice.tsx';
import { Part } from '../../parts/field.tsx';

/** How the page looks on this device. */
export function ThisScreen() {
  const look = useLook();
  return (
    <Part title="Display">
      <span className="field-label" aria-hidden="true">
        Theme
      </span>
      <Choice<Look['frame']>
        label="Theme"
        value={look.frame}
        onChange={(frame) => setLook({ frame })}
        options={[
          ['as the device', 'Like the device'],
          ['light', 'Light'],
          ['dark', 'Dark'],
        ]}
      />
      <span className="field-label" aria-hidden="true">
        Background behind colours
      </span>
      <Choice<Look['surround']>
        label="Background behind colours"
        value={look.surround}
        onChange={(surround) => setLook({ surround })}
        options={[
          ['light', 'Light grey'],
          ['mid', 'Mid grey'],
          ['dark', 'Dark grey'],
        ]}
      />
      <p className="soft">
        Colours look different on white and on black. No screen shows the exact colour: trust the
        tile. Compare in daylight, and again under your lamp.
      </p>
    </Part>
  );
}
