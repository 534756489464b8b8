import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { problemText } from '../../api-client.ts';
import { SelectField } from '../../form/fields.tsx';
import { movePatches, moveProbe, seatKey, seatsOf } from './seat-probe.ts';

type SeatProps = { sensor: SensorView; detail: CookoutDetail; reload: () => Promise<void> };

/** Where a probe sits; a choice moves it at once. */
export function SeatChoice({ sensor, detail, reload }: SeatProps): JSX.Element {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [moved, setMoved] = useState<string | null>(null);
  const seats = seatsOf(detail);
  const serverKey = seatKey(sensor.assignedTo);
  const now = moved ?? serverKey;
  const known = seats.some(({ key }) => key === now) || now === '';
  const elsewhere = known ? [] : [{ value: now, words: sensor.assignedTo?.name ?? now }];
  useEffect(() => setMoved(null), [serverKey]);
  const move = async (to: string): Promise<void> => {
    setMoved(to);
    const failed = await moveProbe(movePatches(detail, sensor.id, { from: now, to }));
    setProblem(failed);
    if (failed !== null) setMoved(null);
    await reload();
  };
  return (
    <SelectField
      label="Sits in"
      value={now}
      options={[
        { value: '', words: 'Nothing: not assigned' },
        ...elsewhere,
        ...seats.map(({ key, words }) => ({ value: key, words })),
      ]}
      error={problem === null ? undefined : problemText(problem)}
      onChoice={(to) => void move(to)}
    />
  );
}
