import { leavesOf, parentOf } from './payload-tree.ts';
import type { PayloadNode } from './payload-tree.ts';

/** Several probes in one message: members of a list or an object that have a number at the same place in them. */
export type OthersLike = {
  /** JSON pointer to what holds them. */
  parent: string;
  /** Names or places in the list of those that are alike, the picked one among them. */
  keys: readonly string[];
  /** JSON pointer from each of them to its number. */
  below: string;
  /** JSON pointer from each of them to its name; null when only its key names it. */
  idBelow: string | null;
  isList: boolean;
  /** Every member of a list is alike, those that come later too. */
  isWhole: boolean;
};

export const ID_NAME = /^(?:id|name|sensor|probe|device|channel)$|_id$|id$/i;
const UNIT_NAME = /unit|scale/i;
const SIDE_NAME = /batt|hum|volt|rssi|signal|charge|level|percent|count|seq|version|uptime|unit/i;
const AT_MOST = 32;

/** The unit that stands beside a value as text. */
export function unitBeside(root: PayloadNode, at: string): PayloadNode | null {
  const beside = parentOf(root, at)?.members ?? [];
  return beside.find(({ name, kind }) => kind === 'text' && UNIT_NAME.test(name ?? '')) ?? null;
}

/** From the whole payload down to what holds the value. */
function holders(root: PayloadNode, at: string): PayloadNode[] {
  const next = root.members.find(({ pointer }) => at === pointer || at.startsWith(`${pointer}/`));
  return next === undefined ? [] : [root, ...holders(next, at)];
}

function leafAt(root: PayloadNode, pointer: string): PayloadNode | undefined {
  return leavesOf(root).find((node) => node.pointer === pointer);
}

/** The picked value's own kind beside it: numbers that look like no time and are not named as something else. */
function isAlikeBeside({ decimal, times, name, members }: PayloadNode): boolean {
  return members.length === 0 && decimal !== null && times.length === 0 && !SIDE_NAME.test(name ?? '');
}

function groupIn(root: PayloadNode, holder: PayloadNode, at: string): OthersLike | null {
  const own = holder.members.find(({ pointer }) => at === pointer || at.startsWith(`${pointer}/`));
  if (own === undefined) return null;
  const below = at.slice(own.pointer.length);
  const unit = unitBeside(root, at)?.text ?? null;
  const alike = holder.members.filter((member) => {
    if (below === '') return member === own || isAlikeBeside(member);
    const value = leafAt(member, `${member.pointer}${below}`);
    if (value?.decimal == null) return false;
    return (unitBeside(root, value.pointer)?.text ?? null) === unit;
  });
  if (alike.length < 2 || alike.length > AT_MOST) return null;
  const id = below === '' ? undefined : parentOf(own, at)?.members.find(isId);
  const idBelow = id === undefined ? null : id.pointer.slice(own.pointer.length);
  const hasIds = alike.every(({ pointer, members }) => {
    return idBelow !== null && members.length > 0 && leafAt(root, `${pointer}${idBelow}`) !== undefined;
  });
  return {
    parent: holder.pointer,
    keys: alike.map(({ name }) => name ?? ''),
    below,
    idBelow: hasIds ? idBelow : null,
    isList: holder.kind === 'list',
    isWhole: holder.kind === 'list' && alike.length === holder.members.length,
  };
}

function isId({ name, kind, members }: PayloadNode): boolean {
  return members.length === 0 && (kind === 'text' || kind === 'number') && ID_NAME.test(name ?? '');
}

/** The probes like the picked one; those of the same shape come before what merely stands beside it. Pure. */
export function othersLike(root: PayloadNode, at: string): OthersLike | null {
  const inward = holders(root, at).toReversed();
  const [nearest, ...outer] = inward;
  for (const holder of outer) {
    const group = groupIn(root, holder, at);
    if (group !== null) return group;
  }
  return nearest === undefined ? null : groupIn(root, nearest, at);
}

/** Numbers in the message that nothing of the rule reads: pointers and texts, at most a handful. */
export function unreadNumbers(root: PayloadNode, read: ReadonlySet<string>): string[] {
  return leavesOf(root)
    .filter(({ pointer, decimal, times, name }) => {
      if (decimal === null || times.length > 0 || read.has(pointer)) return false;
      return !SIDE_NAME.test(name ?? '') && !ID_NAME.test(name ?? '');
    })
    .map(({ pointer, text }) => `${text} at ${pointer}`);
}
