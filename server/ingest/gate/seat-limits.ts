import type { SeatKind } from '../../ports.ts';
import type { GrossSpans } from './qartod.ts';

/** What a sensor can read where it sits, and how fast that can change. */
export type SeatLimits = {
  gross: GrossSpans;
  /** A reading this far from those before it is no noise, degC, however soon it follows. */
  stepC: number;
  /** The same for readings that are further apart: what may change in a minute, degC. */
  stepCPerMin: number;
  /** Change over ten seconds or more, degC per minute, that is suspect. Never less than six times `stepC`. */
  rateCPerMin: number;
  /** The direction in which a reading could raise an alarm: there a spike is suspect (3) and never failed (4). */
  raises: 'up' | 'down' | null;
  /** Above this nothing here stands still to a tenth of a degree for half an hour, degC. */
  neverStillAboveC: number;
};

/**
 * All OURS. A grill that is not lit is as cold as the evening, and embers touch a sensor, so its spans are wide.
 * Steps and rates: no flag on the simulated evening, whose fastest are a core 9, a bag 2.4, a pot 1.2 and a lifted lid
 * 121 degC per minute, and above the 16 degC of the fastest minute of a thin burger (layer model of the accuracy figures).
 */
const LIMITS: Record<SeatKind, SeatLimits> = {
  core: {
    gross: { fail: [-30, 130], suspect: [-20, 110] },
    stepC: 3,
    stepCPerMin: 20,
    rateCPerMin: 20,
    raises: 'down',
    neverStillAboveC: Infinity,
  },
  cooler: {
    gross: { fail: [-30, 60], suspect: [-10, 40] },
    stepC: 3,
    stepCPerMin: 20,
    rateCPerMin: 20,
    raises: 'up',
    neverStillAboveC: Infinity,
  },
  pot: {
    gross: { fail: [-30, 130], suspect: [-20, 110] },
    stepC: 5,
    stepCPerMin: 20,
    rateCPerMin: 30,
    raises: 'down',
    neverStillAboveC: Infinity,
  },
  zone: {
    gross: { fail: [-40, 600], suspect: [-30, 450] },
    stepC: 25,
    stepCPerMin: 150,
    rateCPerMin: 300,
    raises: null,
    neverStillAboveC: 60,
  },
  bench: {
    gross: { fail: [-40, 70], suspect: [-30, 55] },
    stepC: 5,
    stepCPerMin: 20,
    rateCPerMin: 30,
    raises: null,
    neverStillAboveC: Infinity,
  },
};

/** Nobody has said where it sits: what any of them can read, and a hand that warms it is no fault. */
const ANYWHERE: SeatLimits = {
  gross: { fail: [-60, 1200], suspect: [-40, 600] },
  stepC: 25,
  stepCPerMin: 150,
  rateCPerMin: 300,
  raises: null,
  neverStillAboveC: Infinity,
};

export function limitsOf(seat: SeatKind | null): SeatLimits {
  return seat === null ? ANYWHERE : LIMITS[seat];
}
