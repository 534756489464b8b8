import { afterEach, describe, expect, it, vi } from 'vitest';
import { whenHeardAgain } from '../../web/heard-again.ts';
import { dispatch } from '../../web/state.ts';
import { makeBoard } from '../support/boards.ts';
import { isLinkLost } from '../../web/link.ts';

const UP = { heardMonoMs: 1_000, heardWallMs: 1_000, downMonoMs: null };

describe('the link to the server', () => {
  it('holds while something was heard within 20 s', () => {
    expect(isLinkLost(UP, 20_900, 20_900)).toBe(false);
  });

  it('is lost after 20 s of silence', () => {
    expect(isLinkLost(UP, 21_000, 21_000)).toBe(true);
  });

  it('is lost when the socket has been down for 20 s, whatever was heard before', () => {
    expect(isLinkLost({ heardMonoMs: 29_000, heardWallMs: 29_000, downMonoMs: 10_000 }, 30_000, 30_000)).toBe(
      true,
    );
  });

  it('is lost when the tablet slept: its monotonic clock stood still, its wall clock did not', () => {
    expect(isLinkLost(UP, 2_000, 600_000)).toBe(true);
  });

  it('counts as lost when the silence cannot be told', () => {
    expect(isLinkLost({ ...UP, heardMonoMs: NaN }, 2_000, 2_000)).toBe(true);
  });
});

describe('a message that the link is gone', () => {
  afterEach(() => vi.restoreAllMocks());

  it('is called off by a board that comes some seconds later, not by one at once', () => {
    const clock = vi.spyOn(performance, 'now').mockReturnValue(1_000);
    const tell = vi.fn();
    const stop = whenHeardAgain(tell);
    const hear = (monoMs: number): void => {
      clock.mockReturnValue(monoMs);
      dispatch({ kind: 'board', board: makeBoard(), via: 'push', monoMs });
    };
    hear(2_000);
    expect(tell).not.toHaveBeenCalled();
    hear(7_000);
    expect(tell).toHaveBeenCalledTimes(1);
    stop();
    hear(9_000);
    expect(tell).toHaveBeenCalledTimes(1);
  });
});
