import type { ColdJunction, Unit } from '../../contract/mapping-value.ts';
import { platinumTempC } from '../convert/platinum.ts';
import { betaTempC, dividerOhm, steinhartHartTempC } from '../convert/thermistor.ts';
import { typeKTempC } from '../convert/type-k.ts';
import { celsiusOf } from '../convert/units.ts';
import { pointedAt } from './json-pointer.ts';
import { numberOfText } from './number-text.ts';
import type { ReadyValue } from './rule-set.ts';

/**
 * Degrees Celsius of a number as it came.
 *
 * @param number  before scale and offset
 * @param unit  of the scaled number: a temperature, Ohm, mV, or 1 for the count of a divider
 * @param coldJunctionC  of a thermocouple, degC
 * @returns degC, or null when no temperature has that value, e.g. an open circuit
 */
export function temperatureOf(
  number: number,
  unit: Unit,
  { spec, coldJunctionC }: { spec: ReadyValue['spec']; coldJunctionC: number | null },
): number | null {
  const scaled = number * spec.num.scale + spec.num.offset;
  const tempC =
    spec.convert === 'none' ? celsiusOf(scaled, unit) : converted(scaled, { spec, coldJunctionC });
  return tempC !== null && Number.isFinite(tempC) ? tempC : null;
}

function converted(
  scaled: number,
  { spec, coldJunctionC }: { spec: ReadyValue['spec']; coldJunctionC: number | null },
): number | null {
  const { convert, thermistor, divider } = spec;
  if (convert === 'typeK') return coldJunctionC === null ? null : typeKTempC(scaled, coldJunctionC);
  const ohm = divider ? dividerOhm(scaled, divider) : scaled;
  if (ohm === null) return null;
  if (convert === 'pt100') return platinumTempC(ohm, 100);
  if (convert === 'pt1000') return platinumTempC(ohm, 1000);
  if (!thermistor) return null;
  return thermistor.kind === 'beta' ? betaTempC(ohm, thermistor) : steinhartHartTempC(ohm, thermistor);
}

/** Temperature where a thermocouple ends, degC; null when the payload does not tell it. */
export function coldJunctionOf(
  junction: ColdJunction | undefined,
  at: string[] | null,
  root: unknown,
): number | null {
  if (!junction) return null;
  if (junction.from === 'const') return junction.valueC;
  const there = pointedAt(root, at ?? []);
  if (there.kind !== 'found') return null;
  const number = typeof there.value === 'string' ? numberOfText(there.value, '.') : there.value;
  return typeof number === 'number' && Number.isFinite(number) ? celsiusOf(number, junction.unit) : null;
}
