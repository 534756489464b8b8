/**
 * The examples of RFC 8428 (2018) sections 5.1.1 to 5.1.7, as parsed JSON, each with its resolved form
 * [name, unit, epoch s, value]. `now` is the epoch s at which a pack without a time arrives.
 * Sections 5.1.1, 5.1.2 (first and second pack), 5.1.5, 5.1.6 and 5.1.7 (first) were read in the RFC's text; of the third pack of
 * 5.1.2, of 5.1.3 with its resolved form 5.1.4, and of the later packs of 5.1.7 the times, units, counts and some values were read,
 * the remaining values are from memory.
 */
export type Row = readonly [
  name: string,
  unit: string | null,
  timeS: number,
  value: number | string | boolean | null,
];
export type Example = { section: string; pack: readonly object[]; resolved: readonly Row[] };

export const NOW_S = 1_700_000_000;
const DEVICE = 'urn:dev:ow:10e2073a01080063';
const SHORT = 'urn:dev:ow:10e2073a0108006';

/** The pack that section 6 prints in CBOR, where the last record says its zero time. */
export const CURRENTS: Example = {
  section: '5.1.2, second pack',
  pack: [
    { bn: `${SHORT}:`, bt: 1.276020076001e9, bu: 'A', bver: 5, n: 'voltage', u: 'V', v: 120.1 },
    { n: 'current', t: -5, v: 1.2 },
    { n: 'current', t: -4, v: 1.3 },
    { n: 'current', t: -3, v: 1.4 },
    { n: 'current', t: -2, v: 1.5 },
    { n: 'current', t: -1, v: 1.6 },
    { n: 'current', v: 1.7 },
  ],
  resolved: [
    [`${SHORT}:current`, 'A', 1276020071.001, 1.2],
    [`${SHORT}:current`, 'A', 1276020072.001, 1.3],
    [`${SHORT}:current`, 'A', 1276020073.001, 1.4],
    [`${SHORT}:current`, 'A', 1276020074.001, 1.5],
    [`${SHORT}:current`, 'A', 1276020075.001, 1.6],
    [`${SHORT}:voltage`, 'V', 1276020076.001, 120.1],
    [`${SHORT}:current`, 'A', 1276020076.001, 1.7],
  ],
};

const humidities = [21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7];

export const EXAMPLES: readonly Example[] = [
  {
    section: '5.1.1',
    pack: [{ n: DEVICE, u: 'Cel', v: 23.1 }],
    resolved: [[DEVICE, 'Cel', NOW_S, 23.1]],
  },
  {
    section: '5.1.2, first pack',
    pack: [
      { bn: `${DEVICE}:`, n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', u: 'A', v: 1.2 },
    ],
    resolved: [
      [`${DEVICE}:voltage`, 'V', NOW_S, 120.1],
      [`${DEVICE}:current`, 'A', NOW_S, 1.2],
    ],
  },
  CURRENTS,
  {
    section: '5.1.2, third pack',
    pack: humidities.map((v, i) =>
      i === 0 ? { bn: DEVICE, bt: 1.320067464e9, bu: '%RH', v } : { t: i * 10, v },
    ),
    resolved: humidities.map((v, i) => [DEVICE, '%RH', 1320067464 + i * 10, v]),
  },
  {
    section: '5.1.3, resolved in 5.1.4',
    pack: [
      { bn: DEVICE, bt: 1.320067464e9, bu: '%RH', v: 20 },
      { u: 'lon', v: 24.30621 },
      { u: 'lat', v: 60.07965 },
      { t: 60, v: 20.3 },
      { u: 'lon', t: 60, v: 24.30622 },
      { u: 'lat', t: 60, v: 60.07965 },
      { t: 120, v: 20.7 },
      { u: 'lon', t: 120, v: 24.30623 },
      { u: 'lat', t: 120, v: 60.07966 },
      { u: '%EL', t: 150, v: 98 },
      { t: 180, v: 21.2 },
      { u: 'lon', t: 180, v: 24.30628 },
      { u: 'lat', t: 180, v: 60.07967 },
    ],
    resolved: [
      [DEVICE, '%RH', 1320067464, 20],
      [DEVICE, 'lon', 1320067464, 24.30621],
      [DEVICE, 'lat', 1320067464, 60.07965],
      [DEVICE, '%RH', 1320067524, 20.3],
      [DEVICE, 'lon', 1320067524, 24.30622],
      [DEVICE, 'lat', 1320067524, 60.07965],
      [DEVICE, '%RH', 1320067584, 20.7],
      [DEVICE, 'lon', 1320067584, 24.30623],
      [DEVICE, 'lat', 1320067584, 60.07966],
      [DEVICE, '%EL', 1320067614, 98],
      [DEVICE, '%RH', 1320067644, 21.2],
      [DEVICE, 'lon', 1320067644, 24.30628],
      [DEVICE, 'lat', 1320067644, 60.07967],
    ],
  },
  {
    section: '5.1.5',
    pack: [
      { bn: `${DEVICE}:`, n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'label', vs: 'Machine Room' },
      { n: 'open', vb: false },
      { n: 'nfv-reader', vd: 'aGkgCg' },
    ],
    resolved: [
      [`${DEVICE}:temp`, 'Cel', NOW_S, 23.1],
      [`${DEVICE}:label`, null, NOW_S, 'Machine Room'],
      [`${DEVICE}:open`, null, NOW_S, false],
      [`${DEVICE}:nfv-reader`, null, NOW_S, null],
    ],
  },
  {
    section: '5.1.6',
    pack: [
      { bn: '2001:db8::2/', bt: 1.320078429e9, n: 'temperature', u: 'Cel', v: 25.2 },
      { n: 'humidity', u: '%RH', v: 30 },
      { bn: '2001:db8::1/', n: 'temperature', u: 'Cel', v: 12.3 },
      { n: 'humidity', u: '%RH', v: 67 },
    ],
    resolved: [
      ['2001:db8::2/temperature', 'Cel', 1320078429, 25.2],
      ['2001:db8::2/humidity', '%RH', 1320078429, 30],
      ['2001:db8::1/temperature', 'Cel', 1320078429, 12.3],
      ['2001:db8::1/humidity', '%RH', 1320078429, 67],
    ],
  },
  {
    section: '5.1.7, first pack',
    pack: [
      { bn: `${DEVICE}:` },
      { n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'heat', u: '/', v: 1 },
      { n: 'fan', u: '/', v: 0 },
    ],
    resolved: [
      [`${DEVICE}:temp`, 'Cel', NOW_S, 23.1],
      [`${DEVICE}:heat`, '/', NOW_S, 1],
      [`${DEVICE}:fan`, '/', NOW_S, 0],
    ],
  },
  {
    section: '5.1.7, third pack',
    pack: [
      { bt: 1.320078429e9, bu: '/', n: '2001:db8::3', v: 1 },
      { n: '2001:db8::4', v: 1 },
      { n: '2001:db8::3', t: 0.1, v: 0 },
      { n: '2001:db8::4', t: 0.1, v: 0 },
    ],
    resolved: [
      ['2001:db8::3', '/', 1320078429, 1],
      ['2001:db8::4', '/', 1320078429, 1],
      ['2001:db8::3', '/', 1320078429.1, 0],
      ['2001:db8::4', '/', 1320078429.1, 0],
    ],
  },
];
