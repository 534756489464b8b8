import type { PayloadNode } from './payload-tree.ts';
import type { RuleDraft } from './rule-draft.ts';

/** What every part of the rule form is given. */
export type DraftProps = { draft: RuleDraft; root: PayloadNode; set: (patch: Partial<RuleDraft>) => void };
