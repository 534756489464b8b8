import type { JSX } from 'preact';
import type { PayloadNode } from './payload-tree.ts';

type PickerProps = {
  node: PayloadNode;
  /** The pointer that is taken already; null while none is. */
  chosen: string | null;
  onPick: (node: PayloadNode) => void;
};

function Value({ node, chosen, onPick }: PickerProps): JSX.Element {
  if (node.decimal === null) return <code class="fd-plain">{node.text}</code>;
  const isChosen = node.pointer === chosen;
  const where = node.pointer === '' ? 'the whole message' : node.pointer;
  return (
    <button
      type="button"
      class={isChosen ? 'fd-value fd-chosen' : 'fd-value'}
      aria-pressed={isChosen}
      aria-label={`Use ${node.text}, ${where}`}
      onClick={() => onPick(node)}
    >
      {node.text}
    </button>
  );
}

/** A payload taken apart: every number in it is a button. Names and texts come from the air and stay text. */
export function PayloadPicker({ node, chosen, onPick }: PickerProps): JSX.Element {
  if (node.members.length === 0) return <Value node={node} chosen={chosen} onPick={onPick} />;
  return (
    <ul class="fd-tree">
      {node.members.map((member) => (
        <li key={member.pointer} class={member.members.length === 0 ? 'fd-leaf' : undefined}>
          <span class="fd-name">{node.kind === 'list' ? `no. ${member.name ?? ''}` : member.name}</span>
          <PayloadPicker node={member} chosen={chosen} onPick={onPick} />
        </li>
      ))}
    </ul>
  );
}
