import type { MappingTryAnswer } from '../../../server/contract/mapping-api.ts';
import { clockSecondsText } from '../../format/clock.ts';
import { qualityText } from '../../probe-words.ts';
import { detailWords, rejectWords } from '../reject-words.ts';
import type { TimeForm } from './payload-tree.ts';
import type { Meaning, Scale } from './rule-draft.ts';

export const MEANING_WORDS: Record<Meaning, string> = {
  celsius: 'Temperature in °C',
  fahrenheit: 'Temperature in °F',
  kelvin: 'Temperature in kelvin',
  told: 'Temperature in the unit that the message names',
  pt100: 'Ohms of a Pt100',
  pt1000: 'Ohms of a Pt1000',
  'type-k': 'Millivolts of a type K thermocouple',
  ntc: 'Ohms of an NTC thermistor',
};

export const SCALE_WORDS: Record<Scale, string> = {
  '1': 'As it stands',
  '0.1': 'Tenths: 635 is 63.5',
  '0.01': 'Hundredths: 6350 is 63.5',
  '0.001': 'Thousandths: 63500 is 63.5',
};

export const TIME_WORDS: Record<TimeForm, string> = {
  'epoch-s': 'Seconds since 1970',
  'epoch-ms': 'Milliseconds since 1970',
  'epoch-us': 'Microseconds since 1970',
  'auto-epoch': 'Since 1970, the unit told by the size',
  rfc3339: 'Date and time with offset',
  'age-s': 'Seconds since it was measured',
  'age-ms': 'Milliseconds since it was measured',
  'uptime-s': 'Seconds since it was switched on',
  'uptime-ms': 'Milliseconds since it was switched on',
  local: 'Date and time of a place',
};

type TriedReading = MappingTryAnswer['readings'][number];

function timeText({ timeSource, atMs }: TriedReading, timeZone: string): string {
  switch (timeSource) {
    case 'arrival':
      return '';
    case 'uptime':
      return `, ${Math.round(atMs / 1000)} s after it was switched on`;
    case 'device':
    case 'age':
      return `, measured ${clockSecondsText(atMs, timeZone)}`;
  }
}

/** What would come of a message, one line for each reading, side value and complaint. */
export function triedLines(tried: MappingTryAnswer, timeZone: string): string[] {
  const readings = tried.readings.map((reading) => {
    const quality = qualityText({ quality: reading.quality, reasons: reading.reasons });
    const doubt = quality === null ? '' : ` (${quality})`;
    return `${reading.sensorId} ${reading.tempC.toFixed(1)} °C${timeText(reading, timeZone)}${doubt}`;
  });
  const sides = tried.sides.map(
    ({ sensorId, quantity, value, unit }) => `${sensorId} ${quantity} ${value} ${unit.replace('%EL', '%')}`,
  );
  const unplugged = tried.unplugged.map((sensorId) => `${sensorId}: nothing plugged in`);
  const rejects = tried.rejects.map(
    ({ reason, detail }) => `${rejectWords(reason)}${detail === '' ? '' : `: ${detailWords(detail)}`}`,
  );
  return [...readings, ...sides, ...unplugged, ...rejects];
}
