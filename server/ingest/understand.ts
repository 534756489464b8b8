import { decode } from './decode.ts';
import type { Decoded, Message } from './message.ts';
import { mapMessage } from './mapping/map-message.ts';
import type { RuleSet } from './mapping/rule-set.ts';

/** What the server itself publishes; it comes back where a rule's filter is wide. */
const OWN_TOPIC = 'tongside/alarm';

export function isOwnTopic(topic: string): boolean {
  return topic === OWN_TOPIC;
}

/** One message to what it says: by the first rule whose filter matches its topic, else as on the built-in topics. Never throws. */
export function understand(message: Message, rules: RuleSet): Decoded {
  if (isOwnTopic(message.topic)) return { readings: [], sides: [], unplugged: [], rejects: [] };
  const rule = rules.ruleFor(message.topic);
  return rule ? mapMessage(message, rule) : decode(message);
}
