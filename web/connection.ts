import { io } from 'socket.io-client';
import { AlarmSchema, BoardSchema } from '../server/contract/board.ts';
import { ReadingsEventSchema } from '../server/contract/live-events.ts';
import type { ReadingsEvent } from '../server/contract/live-events.ts';
import { api } from './api-client.ts';
import { isLinkLost } from './link.ts';
import type { LinkMemory } from './link.ts';
import { newestReadings, withPushed } from './newest-readings.ts';
import { dispatch, linkLostMs, nowMs, serverNowMs, serverTimeAtMono } from './state.ts';

const STEP_MS = 1000;
/** Readings are shown no more often than this: a new number within a second, but no flicker. */
const READINGS_EVERY_MS = 500;
type Reading = ReadingsEvent[number];
/** Newest reading per sensor that is not shown yet. */
const waiting = new Map<string, Reading>();
let shownMonoMs = 0;

/** Opens the link to the server and keeps it open for as long as the page lives. */
export function connect(): void {
  const link: LinkMemory = {
    heardMonoMs: performance.now(),
    heardWallMs: Date.now(),
    downMonoMs: performance.now(),
  };
  // only a board counts: a server that answers pings but no longer works anything out is as good as gone
  const heard = (): void => {
    link.heardMonoMs = performance.now();
    link.heardWallMs = Date.now();
  };
  paintQuickly();
  const socket = io('/', {
    transports: ['websocket', 'polling'],
    reconnectionDelay: 500,
    reconnectionDelayMax: 5000,
  });
  socket.on('connect', () => {
    link.downMonoMs = null;
  });
  socket.on('disconnect', () => {
    link.downMonoMs = performance.now();
  });
  listen(socket, heard);
  setInterval(() => {
    step(link);
  }, STEP_MS);
}

function paintQuickly(): void {
  void api('GET', '/api/board', BoardSchema).then((answer) => {
    if (answer.ok) dispatch({ kind: 'board', board: answer.value, via: 'http', monoMs: performance.now() });
  });
}

function listen(socket: ReturnType<typeof io>, heard: () => void): void {
  socket.on('board', (payload: unknown) => {
    const parsed = BoardSchema.safeParse(payload);
    if (!parsed.success) return;
    heard();
    dispatch({ kind: 'board', board: parsed.data, via: 'push', monoMs: performance.now() });
  });
  socket.on('reading', (payload: unknown) => {
    const parsed = ReadingsEventSchema.safeParse(payload);
    if (!parsed.success) return;
    for (const reading of parsed.data) waiting.set(reading.sensorId, reading);
    if (performance.now() - shownMonoMs >= READINGS_EVERY_MS) showReadings();
  });
  socket.on('alarm', (payload: unknown) => {
    const parsed = AlarmSchema.safeParse(payload);
    if (!parsed.success) return;
    dispatch({ kind: 'alarm', alarm: parsed.data });
  });
}

function step(link: LinkMemory): void {
  const isLost = isLinkLost(link, performance.now(), Date.now());
  linkLostMs.value = isLost ? (linkLostMs.peek() ?? serverTimeAtMono(link.heardMonoMs)) : null;
  nowMs.value = serverNowMs();
  showReadings();
}

function showReadings(): void {
  if (waiting.size === 0) return;
  shownMonoMs = performance.now();
  const readings = [...waiting.values()];
  newestReadings.value = withPushed(newestReadings.peek(), readings);
  dispatch({ kind: 'readings', readings });
  waiting.clear();
}
