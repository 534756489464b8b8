/** Asks again until the answer is not null, or fails with what was waited for. */
export async function until<T>(
  what: string,
  ask: () => Promise<T | null> | T | null,
  timeoutMs = 10_000,
): Promise<T> {
  const endMs = performance.now() + timeoutMs;
  for (;;) {
    const answer = await ask();
    if (answer !== null) return answer;
    if (performance.now() > endMs) throw new Error(`waited ${timeoutMs} ms in vain for ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 40));
  }
}
