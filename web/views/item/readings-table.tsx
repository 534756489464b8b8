import type { JSX } from 'preact';
import { Dialog } from '../../dialog.tsx';
import { clockSecondsText } from '../../format/clock.ts';
import { spanText } from '../../format/duration.ts';
import { degText } from '../../format/temperature.ts';
import type { History } from './history.ts';

type ReadingsTableProps = { name: string; history: History; timeZone: string; onClose: () => void };
type Line = { atMs: number; cells: string[]; isGap: boolean };

/** The readings behind the chart, newest first; a gap is a line of its own. */
export function ReadingsTable({ name, history, timeZone, onClose }: ReadingsTableProps): JSX.Element {
  const lines = tableLines(history, timeZone);
  return (
    <Dialog label={`Readings of ${name}`} class="readings" onClose={onClose}>
      <h2>Readings, {name}</h2>
      {lines.length === 0 ? <p>No readings in this stretch.</p> : null}
      <table>
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">Last, °C</th>
            <th scope="col">Lowest</th>
            <th scope="col">Highest</th>
          </tr>
        </thead>
        <tbody>
          {lines.map(({ atMs, cells, isGap }) => (
            <tr key={`${isGap}${atMs}`}>
              {isGap ? (
                <td colSpan={4}>{cells[0]}</td>
              ) : (
                cells.map((cell, index) => <td key={index}>{cell}</td>)
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </Dialog>
  );
}

export function tableLines({ stretches, gaps }: History, timeZone: string): Line[] {
  const readings = stretches.flat().map(([atMs, minC, maxC, lastC]) => ({
    atMs,
    isGap: false,
    cells: [clockSecondsText(atMs, timeZone), degText(lastC), degText(minC), degText(maxC)],
  }));
  const silences = gaps.map(({ fromMs, toMs }) => ({
    atMs: fromMs + 1,
    isGap: true,
    cells: [`No reading for ${spanText(toMs - fromMs)}`],
  }));
  return [...readings, ...silences].sort((a, b) => b.atMs - a.atMs);
}
