import { numberOf } from '../../form/check.ts';
import { unitNamed } from './rule-draft.ts';
import type { Meaning, RuleDraft, Scale } from './rule-draft.ts';

/** Hotter than any fire that food is cooked over, degC. OURS. */
const HOTTEST_C = 450;
/** Smaller parts of a degree, tried in this order. */
const PARTS: readonly Scale[] = ['0.1', '0.01', '0.001'];

function celsius(value: number, { meaning, told }: Pick<RuleDraft, 'meaning' | 'told'>): number | null {
  const unit = meaning === 'told' ? unitNamed(told?.text ?? '') : (UNITS[meaning] ?? null);
  switch (unit) {
    case 'Cel':
      return value;
    case 'degF':
      return ((value - 32) * 5) / 9;
    case 'K':
      return value - 273.15;
    case null:
      return null;
  }
}
const UNITS: Partial<Record<Meaning, 'Cel' | 'degF' | 'K'>> = {
  celsius: 'Cel',
  fahrenheit: 'degF',
  kelvin: 'K',
};

/** How a number may be written instead, where it stands for something hotter than any fire; null when it may be right. */
export function scaleDoubt(draft: RuleDraft, text: string): { tempC: number; scale: Scale } | null {
  const number = numberOf(text);
  const tempC = celsius(number * Number(draft.scale), draft);
  if (tempC === null || !(tempC > HOTTEST_C)) return null;
  const scale = PARTS.find((part) => {
    const smaller = celsius(number * Number(part), draft);
    return smaller !== null && smaller <= HOTTEST_C;
  });
  return scale === undefined ? null : { tempC, scale };
}
