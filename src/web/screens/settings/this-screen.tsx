import { type Look, setLook, useLook } from '../../look/look.ts';
import { Choice } from '../../parts/choice.tsx';
import { Part } from '../../parts/field.tsx';

/** How the page looks on this device. */
export function ThisScreen() {
  const look = useLook();
  return (
    <Part title="This screen">
      <span className="field-label" aria-hidden="true">
        The page
      </span>
      <Choice<Look['frame']>
        label="The page"
        value={look.frame}
        onChange={(frame) => setLook({ frame })}
        options={[
          ['as the device', 'As the device'],
          ['light', 'Light'],
          ['dark', 'Dark'],
        ]}
      />
      <span className="field-label" aria-hidden="true">
        The ground under colours
      </span>
      <Choice<Look['surround']>
        label="The ground under colours"
        value={look.surround}
        onChange={(surround) => setLook({ surround })}
        options={[
          ['light', 'Light grey'],
          ['mid', 'Mid grey'],
          ['dark', 'Dark grey'],
        ]}
      />
      <p className="soft">
        A colour looks otherwise on white than on black; judge on the ground the tile will lie on.
        No screen is the colour: the tile is. Compare by daylight, and again under the lamp it will
        be seen under.
      </p>
    </Part>
  );
}
