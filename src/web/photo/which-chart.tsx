import type { Point } from '../../core/photo/plane-view.ts';
import type { PhotoResult } from '../../domain/photo-result.ts';
import { Button } from '../parts/button.tsx';

/** Two charts in one photo: asks which one is meant, by where each lies. */
export function WhichChart({
  photoResult: { chart },
  isChosen,
  onPick,
}: {
  readonly photoResult: Pick<PhotoResult, 'chart'>;
  readonly isChosen: boolean;
  readonly onPick: (chartAt: Point) => void;
}) {
  if (chart === null || chart.otherCorners === null) return null;
  const used = middleOf(chart.corners);
  const other = middleOf(chart.otherCorners);
  const [usedSide, otherSide] = sidesOf(used, other);
  return (
    <div className="part">
      <p>
        {isChosen
          ? `The chart ${usedSide} is used.`
          : 'There are two charts in this photo. Which one do you want to use?'}
      </p>
      <div className="actions">
        {isChosen ? null : <Button onPress={() => onPick(used)}>The one {usedSide}</Button>}
        <Button onPress={() => onPick(other)}>
          {isChosen ? 'Use the one' : 'The one'} {otherSide}
        </Button>
      </div>
    </div>
  );
}

function middleOf(corners: readonly Point[]): Point {
  const sum = (k: 0 | 1) => corners.reduce((total, corner) => total + corner[k], 0);
  return [Math.round(sum(0) / corners.length), Math.round(sum(1) / corners.length)];
}

function sidesOf(one: Point, other: Point): readonly [string, string] {
  const [dx, dy] = [other[0] - one[0], other[1] - one[1]];
  if (Math.abs(dx) > Math.abs(dy)) {
    return dx > 0 ? ['on the left', 'on the right'] : ['on the right', 'on the left'];
  }
  return dy > 0 ? ['at the top', 'at the bottom'] : ['at the bottom', 'at the top'];
}
