/** A table that stays one for a screen reader where a narrow screen stacks its cells. */

/** A row: what it is about, a note under it, and its figures. */
export interface Row {
  name: string;
  note?: string;
  here?: boolean;
  /** A bar under the name, as a share of the longest; hollow where it is not of the same kind. */
  bar?: number;
  hollow?: boolean;
  cells: readonly string[];
}

/** The table; the first head stands over the names. */
export function Table({
  label,
  heads,
  rows,
}: {
  label: string;
  heads: readonly string[];
  rows: readonly Row[];
}) {
  return (
    <table class="figures" role="table" aria-label={label}>
      <thead role="rowgroup">
        <tr role="row">
          {heads.map((head) => (
            <th key={head} role="columnheader" scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody role="rowgroup">
        {rows.map((row, at) => (
          <tr key={at} role="row" class={row.here ? "here" : ""}>
            <th role="rowheader" scope="row">
              {row.name}
              {row.bar !== undefined && (
                <i class={`bar-of ${row.hollow ? "hollow" : ""}`} style={{ width: `${row.bar * 100}%` }} />
              )}
              {row.note && <span class="quiet">{row.note}</span>}
            </th>
            {row.cells.map((cell, column) => (
              <td key={column} role="cell" class="figure" data-head={heads[column + 1]}>
                {cell}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
