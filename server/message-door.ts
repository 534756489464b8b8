import type { MappingDesk } from './api/mapping-desk.ts';
import { BROKER_LIMITS } from './broker/limits.ts';
import type { Config } from './config.ts';
import { Found } from './ingest/found.ts';
import { MappingBook } from './ingest/mapping-book.ts';
import type { Decoded, Message } from './ingest/message.ts';
import { refusedPacket, type RefusedPacket } from './ingest/refused-packet.ts';
import { understand } from './ingest/understand.ts';
import type { Clock, ReadingArchive } from './ports.ts';
import { StartRefused } from './start-refused.ts';

/** So many stored rejects are looked through at the start for topics that nobody understood. */
const SEEDED = 1_000;

/** What is made of messages: the mapping in force, and what nobody understood. */
export type MessageDoor = {
  book: MappingBook;
  found: Found;
  desk: MappingDesk;
  understand: (message: Message) => Decoded;
  /** A message on a topic that is not taken as readings. */
  heard: (message: Message) => void;
  /** A packet that the embedded broker refused for its size. */
  refused: (packet: RefusedPacket) => Decoded;
};

/** @throws StartRefused when the mapping file is not right */
export function openMessageDoor(config: Config, readings: ReadingArchive, clock: Clock): MessageDoor {
  const opened = MappingBook.open(config);
  if (!opened.ok) {
    const problems = opened.problems.map((problem) => `  ${problem}`);
    throw new StartRefused(['The mapping is not right:', ...problems].join('\n'));
  }
  const { book } = opened;
  const found = new Found((topic) => book.isKnown(topic));
  found.seed(readings.rejects(SEEDED), clock.nowMs());
  book.onChange(() => found.rulesChanged());
  return {
    book,
    found,
    understand: (message) => {
      const decoded = understand(message, book.rules);
      const rejects = found.note(message, decoded);
      return rejects === decoded.rejects ? decoded : { ...decoded, rejects };
    },
    heard: (message) => found.heard(message),
    refused: (packet) => {
      const about = { receivedMs: clock.nowMs(), mostBytes: BROKER_LIMITS.packetBytes };
      const { message, decoded } = refusedPacket(packet, about);
      return { ...decoded, rejects: found.note(message, decoded) };
    },
    desk: {
      current: () => book.current(),
      save: (next) => book.save(next),
      try: (sample, mapping) => book.try({ ...sample, receivedMs: clock.nowMs() }, mapping),
      found: () => found.list(),
      forget: (topic) => found.forget(topic),
    },
  };
}
