/** A number behind *Details*: its name, value and unit. */
export function FigureRow({
  name,
  value,
  unit,
}: {
  readonly name: string;
  readonly value: string;
  readonly unit: string;
}) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{value}</td>
      <td>{unit}</td>
    </tr>
  );
}
