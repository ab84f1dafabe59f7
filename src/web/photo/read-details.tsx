import type { PhotoResult } from '../../domain/photo-result.ts';

/** The figures behind the sentence about a photo. */
export function ReadDetails({ told }: { readonly told: PhotoResult }) {
  const { sheet, chart, rough, kind, widthPx, heightPx, bits, profile, profileFollowed } = told;
  const correction = chart?.correction;
  const rows: (readonly [string, string])[] = [
    ['Photo', `${kind}, ${widthPx} × ${heightPx}, ${bits} bit`],
    [
      'Colour profile',
      profile === 'none'
        ? 'none, taken as sRGB'
        : profileFollowed
          ? profile
          : `${profile}, not followed`,
    ],
    [
      'Sheet',
      sheet === null
        ? 'none'
        : sheet.markersSeen === 0
          ? `${sheet.name}, by hand`
          : `${sheet.name}, ${sheet.markersSeen} markers, off by ${sheet.missMm.toFixed(2)} mm`,
    ],
    ...(chart === null
      ? []
      : ([
          ['Patches used', `${correction?.patchesUsed ?? 0} of ${chart.patches.length}`],
          ...chart.patches.flatMap(({ name, mark }) =>
            mark === null ? [] : [[`Patch ${name} left out`, mark] as const],
          ),
        ] as const)),
    ...(correction === null || correction === undefined
      ? []
      : ([
          ['A patch predicted from the others, mean', `${correction.heldOutMean.toFixed(2)} dE00`],
          ['Worst', `${correction.heldOutWorst.toFixed(2)} dE00`],
        ] as const)),
    ...(rough === null ? [] : ([['Balanced', rough.balanced]] as const)),
    ...(told.tells.colours === null
      ? []
      : ([['± of its colours', `${told.tells.colours.toFixed(2)} dE00`]] as const)),
    ...(told.tells.differences === null
      ? []
      : ([['± of differences under 10', `${told.tells.differences.toFixed(2)} dE00`]] as const)),
    ...(told.emptyPlaces.length === 0
      ? []
      : ([['Empty places', told.emptyPlaces.join(', ')]] as const)),
    ['Read in', `${(told.readMs / 1000).toFixed(1)} s`],
  ];
  return (
    <details>
      <summary>Details of the reading</summary>
      <table className="figures">
        <tbody>
          {rows.map(([name, value]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
