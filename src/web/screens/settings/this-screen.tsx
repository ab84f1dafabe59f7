import { type Look, setLook, useLook } from '../../look/look.ts';
import { Choice } from '../../parts/choice.tsx';
import { Part } from '../../parts/field.tsx';

/** How the page looks on this device. */
export function ThisScreen() {
  const look = useLook();
  return (
    <Part title="This screen">
      <Choice<Look['frame']>
        label="Frame"
        value={look.frame}
        onChange={(frame) => setLook({ frame })}
        options={[
          ['as the device', 'As the device'],
          ['light', 'Light frame'],
          ['dark', 'Dark frame'],
        ]}
      />
      <Choice<Look['surround']>
        label="Surround of colours"
        value={look.surround}
        onChange={(surround) => setLook({ surround })}
        options={[
          ['light', 'Light surround'],
          ['mid', 'Mid grey surround'],
          ['dark', 'Dark surround'],
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
