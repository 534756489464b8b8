import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

const LEAST_GAP_MS = 30_000;

/** Says what changed to a screen reader, at most every 30 s and then only the newest. */
export function SpokenStatus({ text }: { text: string }): JSX.Element {
  const [said, setSaid] = useState(text);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  useEffect(() => {
    const speak = (): void => {
      lastMs.current = performance.now();
      setSaid(text);
    };
    const timer = setTimeout(speak, Math.max(0, lastMs.current + LEAST_GAP_MS - performance.now()));
    return () => clearTimeout(timer);
  }, [text]);
  return (
    <p class="vh" role="status">
      {said}
    </p>
  );
}
