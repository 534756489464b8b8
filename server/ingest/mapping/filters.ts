import type { Mapping } from '../../contract/mapping.ts';
import { TOPIC_FILTERS } from '../decode.ts';
import { filterCovers } from './topic-match.ts';

/**
 * The topic filters to subscribe to: the built-in ones and those of the rules, without those that another one covers, so
 * that a message comes once. Two that overlap but do not cover each other stay: a broker may then send a message twice
 * (MQTT 5 section 3.3.4), so the source subscribes to one filter that covers both and drops what neither matches.
 */
export function filtersOf({ rules }: Mapping): string[] {
  const all = [...new Set([...TOPIC_FILTERS, ...rules.map(({ filter }) => filter)])];
  return all.filter((inner) => !all.some((outer) => outer !== inner && filterCovers(outer, inner)));
}
