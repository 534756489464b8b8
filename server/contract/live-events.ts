import * as z from 'zod/mini';
import type { Alarm, Board } from './board.ts';

/** Newest value of each sensor that changed since the last message. */
export const ReadingsEventSchema = z.array(
  z.strictObject({ sensorId: z.string(), tempC: z.number(), atMs: z.number(), quality: z.number() }),
);
export type ReadingsEvent = z.infer<typeof ReadingsEventSchema>;

export type ServerToClient = {
  board: (board: Board) => void;
  reading: (readings: ReadingsEvent) => void;
  alarm: (alarm: Alarm) => void;
};
/** The screen sends nothing over the socket: what the cook does goes over HTTP, where it is answered. */
export type ClientToServer = Record<string, never>;
