import { describe, expect, it } from 'vitest';
import { troubleText } from '../../web/form/form-frame.tsx';
import { numberOf, numberOrNull } from '../../web/form/check.ts';
import { placeProblem } from '../../web/form/problem-fields.ts';

describe('a number typed by the cook', () => {
  it.each([
    ['26', 26],
    [' 26 ', 26],
    ['2.5', 2.5],
    ['2,5', 2.5],
    ['-3', -3],
  ])('is read with a point or a comma: %j', (text, value) => {
    expect(numberOf(text)).toBe(value);
  });

  it.each(['', '26mm', '1e3', '0x1A', 'Infinity', '2.', '--2', '1.234,5'])(
    'is refused when it is something else: %j',
    (text) => {
      expect(numberOf(text)).toBeNaN();
    },
  );

  it('is not known while the field is empty, and wrong when it is nonsense', () => {
    expect(numberOrNull('  ')).toBeNull();
    expect(numberOrNull('x')).toBeNaN();
  });
});

describe('what the server complains about', () => {
  const base = { type: 'about:blank', title: 'Something in the request is not right', status: 400 };

  it('is shown at its field', () => {
    const problem = {
      ...base,
      detail: 'thicknessMm: too thick',
      errors: [{ field: 'thicknessMm', message: 'too thick' }],
    };
    expect(placeProblem(problem, ['name', 'thicknessMm'])).toEqual({
      errors: { thicknessMm: 'too thick' },
      general: null,
    });
  });

  it.each(['serves.1.atMs', 'serves[1].atMs', '/serves/1/atMs'])(
    'finds the row of a list however it is written: %s',
    (field) => {
      const problem = { ...base, errors: [{ field, message: 'too late' }] };
      expect(placeProblem(problem, ['serves.0', 'serves.1']).errors).toEqual({ 'serves.1': 'too late' });
    },
  );

  it('goes to the field of the form that stands for it', () => {
    const problem = { ...base, errors: [{ field: 'plannedOnMs', message: 'in the past' }] };
    const fieldOf = (path: string): string => (path === 'plannedOnMs' ? 'clock' : path);
    expect(placeProblem(problem, ['clock'], fieldOf).errors).toEqual({ clock: 'in the past' });
  });

  it('is never dropped: what no field claims stands above the form', () => {
    const problem = {
      ...base,
      errors: [
        { field: 'name', message: 'taken' },
        { field: 'moon', message: 'no such field: moon' },
      ],
    };
    const placed = placeProblem(problem, ['name']);
    expect(placed.errors).toEqual({ name: 'taken' });
    expect(placed.general).toBe('Something in the request is not right. moon: no such field: moon.');
  });

  it('says title and reason when no field is named', () => {
    const problem = { ...base, title: 'No link to the server', status: 0, detail: 'Nothing was saved.' };
    expect(placeProblem(problem, ['name'])).toEqual({
      errors: {},
      general: 'No link to the server. Nothing was saved.',
    });
  });
});

describe('the sentence above a form', () => {
  it('says that the typing is kept, but not of a passphrase', () => {
    const refused = { errors: { passphrase: 'That is not the passphrase.' }, general: null };
    expect(troubleText({ errors: { name: 'Give it a name.' }, general: null }, false)).toBe(
      'One field needs another look. Nothing you typed is lost.',
    );
    expect(troubleText(refused, true)).toBe('');
    expect(troubleText({ errors: {}, general: 'No link.' }, true)).toBe('No link.');
    expect(troubleText({ errors: {}, general: null }, false)).toBe('');
  });
});
