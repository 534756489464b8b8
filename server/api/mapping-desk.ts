import type { MappingTryAnswer } from '../contract/mapping-api.ts';
import type { Mapping, MappingDocument } from '../contract/mapping.ts';
import type { FoundTopic } from '../contract/probe.ts';

/** What the HTTP routes may ask of the mapping and of the topics that nobody understood. */
export type MappingDesk = {
  /** `filePath` is null while it has never been saved. */
  current(): { document: MappingDocument; filePath: string | null };
  /** Written to the file, then in force at once. Throws when it cannot be written; nothing has changed then. */
  save(next: { mapping: Mapping; document: MappingDocument }): void;
  try(sample: { topic: string; payload: Uint8Array }, mapping: Mapping): MappingTryAnswer;
  found(): FoundTopic[];
  /** Whether it was there. */
  forget(topic: string): boolean;
};
