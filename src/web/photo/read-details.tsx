import type { PhotoResult } from '../../domain/photo-result.ts';

/** The numbers behind the sentence about a photo. */
export function ReadDetails({ photoResult }: { readonly photoResult: PhotoResult }) {
  const { sheet, chart, rough, kind, widthPx, heightPx, bits, profile, profileFollowed } =
    photoResult;
  const correction = chart?.correction;
  const rows: (readonly [string, string])[] = [
    ['Photo', `${kind}, ${widthPx} × ${heightPx}, ${bits} bit`],
    [
      'Colour profile',
      profile === 'none'
        ? 'none, read as sRGB'
        : profileFollowed
          ? profile
          : `${profile}, not used`,
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
            mark === null ? [] : [[`Patch ${name} excluded`, mark] as const],
          ),
        ] as const)),
    ...(correction === null || correction === undefined
      ? []
      : ([
          [
            'Mean error when a patch is predicted from the others',
            `${correction.heldOutMean.toFixed(2)} dE00`,
          ],
          ['Worst error', `${correction.heldOutWorst.toFixed(2)} dE00`],
        ] as const)),
    ...(rough === null ? [] : ([['Balanced', rough.balanced]] as const)),
    ...(photoResult.tells.colours === null
      ? []
      : ([['± of the colours', `${photoResult.tells.colours.toFixed(2)} dE00`]] as const)),
    ...(photoResult.tells.differences === null
      ? []
      : ([
          ['± of differences under 10', `${photoResult.tells.differences.toFixed(2)} dE00`],
        ] as const)),
    ...(photoResult.emptyPlaces.length === 0
      ? []
      : ([['Empty places', photoResult.emptyPlaces.join(', ')]] as const)),
    ['Read in', `${(photoResult.readMs / 1000).toFixed(1)} s`],
  ];
  return (
    <details>
      <summary>Details</summary>
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
