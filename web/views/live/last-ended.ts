import { useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { CookoutSchema } from '../../../server/contract/cookout.ts';
import type { Cookout } from '../../../server/contract/cookout.ts';
import { api } from '../../api-client.ts';
import type { Ended } from './strips.ts';

/** The cookout that ended last, or null when none has. Pure. */
export function lastEndedOf(cookouts: readonly Cookout[]): Ended | null {
  const ended = cookouts
    .flatMap(({ id, name, endedMs }) => (endedMs === null ? [] : [{ id, name, endedMs }]))
    .sort((a, b) => b.endedMs - a.endedMs);
  const [newest] = ended;
  return newest === undefined ? null : { id: newest.id, name: newest.name };
}

/** Asked for only while no cookout is running. */
export function useLastEnded(isNoneRunning: boolean): Ended | null {
  const [ended, setEnded] = useState<Ended | null>(null);
  useEffect(() => {
    setEnded(null);
    if (!isNoneRunning) return undefined;
    let isHere = true;
    void api('GET', '/api/cookouts', z.array(CookoutSchema)).then((answer) => {
      if (isHere && answer.ok) setEnded(lastEndedOf(answer.value));
    });
    return () => {
      isHere = false;
    };
  }, [isNoneRunning]);
  return ended;
}
