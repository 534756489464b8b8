import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { REASON } from '../../server/contract/reading.ts';
import { csvLine } from '../../server/review/csv.ts';
import { formatterFor, localTime, readingsCsv, type CsvReading } from '../../server/review/readings-csv.ts';

/** A reader of RFC 4180 written from its grammar (section 2), to check the writer against. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  const field = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\r\n)/y;
  let row: string[] = [];
  while (field.lastIndex < text.length) {
    const match = field.exec(text);
    if (!match) throw new Error('not RFC 4180');
    const raw = match[1] ?? '';
    row.push(raw.startsWith('"') ? raw.slice(1, -1).replaceAll('""', '"') : raw);
    if (match[2] === '\r\n') {
      rows.push(row);
      row = [];
    }
  }
  return rows;
}

const BY_PROBE: CsvReading = {
  atMs: 0,
  source: 'probe',
  sensorId: 'left',
  item: 'Chicken, 1st',
  tempC: 63.456,
  quality: 3,
  log: {
    rawC: -62.8,
    correction: { gain: 1.01, offsetC: -0.6 },
    reasons: REASON.spike | REASON.late,
    standing: 'failed',
    receivedMs: 2_500,
  },
};
const BY_HAND: CsvReading = {
  atMs: 1_000,
  source: 'spot-check',
  sensorId: '',
  item: 'Trout',
  tempC: 60,
  quality: null,
  log: null,
};

describe('CSV', () => {
  it('quotes commas, quotes and line breaks, and ends lines with CRLF (RFC 4180 section 2)', () => {
    expect(csvLine(['a,b', 'say "hot"', 'two\nlines', 4.5, null])).toBe(
      '"a,b","say ""hot""","two\nlines",4.5,\r\n',
    );
  });

  it('reads back as it was written, whatever the text is', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'grapheme' }), { minLength: 1, maxLength: 6 }), (cells) => {
        const defused = cells.map((c) => (/^[=+\-@\t\r]/.test(c) ? `'${c}` : c));
        expect(readCsv(csvLine(cells))).toEqual([defused]);
      }),
    );
  });

  it('defuses text that a spreadsheet would run, and leaves negative numbers numbers', () => {
    expect(csvLine(['=1+1', '@x', -4.5])).toBe("'=1+1,'@x,-4.5\r\n");
  });

  it('tells the two hours apart that an autumn night has twice', () => {
    // EU summer time ends 2026-10-25 at 01:00 UTC: directive 2000/84/EC
    const before = Date.UTC(2026, 9, 25, 0, 30);
    expect(localTime(before, formatterFor('Europe/Berlin'))).toBe('2026-10-25T02:30:00+02:00');
    expect(localTime(before + 3_600_000, formatterFor('Europe/Berlin'))).toBe('2026-10-25T02:30:00+01:00');
    expect(localTime(before, formatterFor('UTC'))).toBe('2026-10-25T00:30:00+00:00');
  });

  it('has a header and one line for each reading, all of one length', () => {
    const rows = readCsv([...readingsCsv([BY_PROBE, BY_HAND], 'UTC')].join(''));
    expect(rows).toHaveLength(3);
    expect(new Set(rows.map((r) => r.length))).toEqual(new Set([14]));
    expect(rows[1]?.slice(3, 7)).toEqual(['probe', 'left', 'Chicken, 1st', '63.46']);
  });

  it('says never of a probe that was never checked, and nothing of a check by hand', () => {
    const log = BY_PROBE.log && { ...BY_PROBE.log, standing: 'never' as const };
    const [header = [], ...rows] = readCsv([...readingsCsv([{ ...BY_PROBE, log }, BY_HAND], 'UTC')].join(''));
    const column = header.indexOf('probe_check');
    expect(rows.map((cells) => cells[column])).toEqual(['never', '']);
  });

  it('tells what the probe sent, how it was corrected, why it is doubted and when it came', () => {
    const [header = [], probe = [], hand = []] = readCsv(
      [...readingsCsv([BY_PROBE, BY_HAND], 'UTC')].join(''),
    );
    const told = (cells: string[]) => Object.fromEntries(header.map((name, i) => [name, cells[i]]));
    expect(told(probe)).toMatchObject({
      temp_c: '63.46',
      quality: '3',
      raw_c: '-62.8',
      correction_gain: '1.01',
      correction_offset_c: '-0.6',
      reasons: 'spike late',
      probe_check: 'failed',
      received_utc: '1970-01-01T00:00:02.500Z',
    });
    expect(told(hand)).toMatchObject({ source: 'spot-check', raw_c: '', reasons: '', received_utc: '' });
  });
});
