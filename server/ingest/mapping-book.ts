import { join } from 'node:path';
import type { MappingTryAnswer } from '../contract/mapping-api.ts';
import { MappingSchema, NO_RULES, type Mapping, type MappingDocument } from '../contract/mapping.ts';
import { TOPIC_FILTERS } from './decode.ts';
import { filtersOf } from './mapping/filters.ts';
import { RuleSet } from './mapping/rule-set.ts';
import { topicMatches } from './mapping/topic-match.ts';
import { tryMapping } from './mapping/try-mapping.ts';
import { readMappingFile, writeMappingFile } from './mapping-file.ts';
import { isOwnTopic } from './understand.ts';

type Opened = { ok: true; book: MappingBook } | { ok: false; problems: string[] };
type InForce = { mapping: Mapping; document: MappingDocument; rules: RuleSet; isSaved: boolean };
type Where = {
  /** A file that the settings name; null: `mapping.json` in the data folder. */
  mappingPath: string | null;
  dataDir: string;
};

/** The mapping that is in force, and its file. */
export class MappingBook {
  private readonly path: string;
  private inForce: InForce;
  private readonly listeners: (() => void)[] = [];

  private constructor(path: string, inForce: InForce) {
    this.path = path;
    this.inForce = inForce;
  }

  /** Reads the file. A file that is wrong, or that the settings name and that is not there, is no reason to go on without it. */
  static open({ mappingPath, dataDir }: Where): Opened {
    const path = mappingPath ?? join(dataDir, 'mapping.json');
    const file = readMappingFile(path);
    switch (file.kind) {
      case 'broken':
        return { ok: false, problems: file.problems.map((problem) => `${path}: ${problem}`) };
      case 'read':
        return { ok: true, book: new MappingBook(path, inForceOf(file, true)) };
      case 'none': {
        if (mappingPath !== null)
          return { ok: false, problems: [`${path}: no such file; begin with ${JSON.stringify(NO_RULES)}`] };
        const empty = { mapping: MappingSchema.parse(NO_RULES), document: NO_RULES };
        return { ok: true, book: new MappingBook(path, inForceOf(empty, false)) };
      }
    }
  }

  get rules(): RuleSet {
    return this.inForce.rules;
  }
  /** What to subscribe to. */
  get filters(): string[] {
    return filtersOf(this.inForce.mapping);
  }
  current(): { document: MappingDocument; filePath: string | null } {
    return { document: this.inForce.document, filePath: this.inForce.isSaved ? this.path : null };
  }

  /** Whether messages on a topic are read, by a rule or as a built-in one. */
  isKnown(topic: string): boolean {
    return (
      isOwnTopic(topic) ||
      this.rules.ruleFor(topic) !== null ||
      TOPIC_FILTERS.some((filter) => topicMatches(filter, topic))
    );
  }

  /** Written, then in force at once. Throws when it cannot be written; nothing has changed then. */
  save(next: { mapping: Mapping; document: MappingDocument }): void {
    writeMappingFile(this.path, next.document);
    this.inForce = inForceOf(next, true);
    for (const listener of this.listeners) listener();
  }

  /** Called after each change. */
  onChange(listener: () => void): void {
    this.listeners.push(listener);
  }

  /** What would come of a message by another mapping; nothing is kept. */
  try(
    sample: { topic: string; payload: Uint8Array; receivedMs: number },
    mapping: Mapping,
  ): MappingTryAnswer {
    return tryMapping(sample, new RuleSet(mapping));
  }
}

function inForceOf(next: { mapping: Mapping; document: MappingDocument }, isSaved: boolean): InForce {
  const { mapping, document } = next;
  return { mapping, document, rules: new RuleSet(mapping), isSaved };
}
