/** What a client of the embedded broker may ask of it. OURS, each with its reason. */
export type BrokerLimits = {
  /** Of one packet: twice the largest payload that is taken; more is never needed in memory. */
  packetBytes: number;
  /** From opening the connection to CONNECT: a sensor does it at once, and who does not holds a place. */
  connectWithinMs: number;
  /** Connections: far more than there are devices at a grill, and their buffers together stay below 10 MB. */
  clients: number;
  clientIdLength: number;
  topicLevels: number;
  /** Kept for subscribers that come later; they stay in memory, so their number is bounded. */
  retained: number;
  /** Of one connection; a lamp needs one. */
  subscriptions: number;
  /** A subscriber that does not take its messages for so long is dropped: until then it holds everyone up. */
  drainWithinMs: number;
  /** Of one client, sustained; beyond it, the client is read more slowly. Hundreds of probes send fewer. */
  messagesPerS: number;
  /** What it may send at once, such as its own memory after a gap. */
  burst: number;
};

export const BROKER_LIMITS: BrokerLimits = {
  packetBytes: 16_384,
  connectWithinMs: 10_000,
  clients: 100,
  clientIdLength: 128,
  topicLevels: 32,
  retained: 1_000,
  subscriptions: 100,
  drainWithinMs: 2_000,
  messagesPerS: 5_000,
  burst: 10_000,
};
