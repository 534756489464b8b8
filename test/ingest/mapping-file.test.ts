import fs, { lstatSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { parseMapping } from '../../server/contract/mapping-problems.ts';
import { MappingBook } from '../../server/ingest/mapping-book.ts';
import { tempDir } from '../support/temp-dir.ts';
import { DOCUMENT, RULE } from '../support/yard-rule.ts';

function parsed(document: unknown = DOCUMENT) {
  const result = parseMapping(document);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result;
}
function opened(dataDir: string, mappingPath: string | null = null): MappingBook {
  const result = MappingBook.open({ dataDir, mappingPath });
  if (!result.ok) throw new Error(result.problems.join('\n'));
  return result.book;
}
function problemsOf(mappingPath: string): string[] {
  const result = MappingBook.open({ dataDir: tempDir(), mappingPath });
  return result.ok ? [] : result.problems;
}

describe('the mapping file', () => {
  it('is mapping.json in the data folder, and need not be there', () => {
    const dir = tempDir();
    const book = opened(dir);
    expect(book.current()).toEqual({ document: { version: 1, rules: [] }, filePath: null });
    expect(book.filters).toEqual(['tongside/reading/#', 'tongside/senml/#']);
    expect(readdirSync(dir)).toEqual([]);
  });

  it('is read again as it was saved, nothing added', () => {
    const dir = tempDir();
    opened(dir).save(parsed());
    expect(readdirSync(dir)).toEqual(['mapping.json']);
    expect(JSON.parse(readFileSync(join(dir, 'mapping.json'), 'utf8'))).toEqual(DOCUMENT);
    const book = opened(dir);
    expect(book.current()).toEqual({ document: DOCUMENT, filePath: join(dir, 'mapping.json') });
    expect(book.rules.ruleFor('yard/left')?.rule.id).toBe('yard');
  });

  it('is in force at once when it is saved, and those who subscribe are told', () => {
    const book = opened(tempDir());
    const told: string[][] = [];
    book.onChange(() => told.push(book.filters));
    book.save(parsed());
    expect(told).toEqual([['tongside/reading/#', 'tongside/senml/#', 'yard/+']]);
    expect(book.rules.ruleFor('yard/left')?.rule.id).toBe('yard');
    expect(book.isKnown('yard/left')).toBe(true);
    expect(['yard/left/x', 'else', '$SYS/x'].map((topic) => book.isKnown(topic))).toEqual([
      false,
      false,
      false,
    ]);
    expect(
      ['tongside/reading/a', 'tongside/senml', 'tongside/alarm'].map((topic) => book.isKnown(topic)),
    ).toEqual([true, true, true]);
  });

  it('may be named in the settings, and is then what a link leads to', () => {
    const dir = tempDir();
    mkdirSync(join(dir, 'kept'));
    writeFileSync(join(dir, 'kept', 'real.json'), JSON.stringify(DOCUMENT));
    symlinkSync(join(dir, 'kept', 'real.json'), join(dir, 'link.json'));
    const book = opened(tempDir(), join(dir, 'link.json'));
    book.save(parsed({ version: 1, rules: [] }));
    expect(lstatSync(join(dir, 'link.json')).isSymbolicLink()).toBe(true);
    expect(JSON.parse(readFileSync(join(dir, 'kept', 'real.json'), 'utf8'))).toEqual({
      version: 1,
      rules: [],
    });
  });

  it('that the settings name must be there', () => {
    const path = join(tempDir(), 'misspelt.json');
    expect(problemsOf(path)).toEqual([`${path}: no such file; begin with {"version":1,"rules":[]}`]);
  });

  it('that is wrong is refused with its name and everything that is wrong, by path', () => {
    const path = join(tempDir(), 'mine.json');
    writeFileSync(
      path,
      JSON.stringify({
        version: 1,
        rules: [
          { ...RULE, id: 'A B', typo: 1 },
          { ...RULE, filter: '' },
        ],
      }),
    );
    expect(problemsOf(path)).toEqual([
      `${path}: rules.0.id: must be 1 to 40 of a-z, 0-9 and -`,
      `${path}: rules.0.typo: no such field`,
      `${path}: rules.1.filter: must not be empty`,
    ]);
  });

  it.each([
    ['is not JSON', '{"version":1,'],
    ['is not JSON', ''],
    ['is too long', `"${'x'.repeat(1_000_001)}"`],
    ['must be an object', '7'],
  ])('that %s is refused', (text, content) => {
    const path = join(tempDir(), 'mine.json');
    writeFileSync(path, content);
    const problems = problemsOf(path);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(`${path}: `);
    expect(problems[0]).toContain(text);
  });

  it('that cannot be read is refused', () => {
    const problems = problemsOf(tempDir()); // a folder
    expect(problems[0]).toContain('cannot be read');
  });

  it('stays as it was when a new one cannot be written, and so does what is in force', () => {
    const dir = tempDir();
    const book = opened(dir);
    book.save(parsed());
    // a folder in the way of the new file beside it stops the writing for every user, also for root
    mkdirSync(join(dir, `mapping.json.new-${process.pid}`));
    writeFileSync(join(dir, `mapping.json.new-${process.pid}`, 'x'), '');
    expect(() => book.save(parsed({ version: 1, rules: [] }))).toThrow();
    expect(book.current().document).toEqual(DOCUMENT);
    expect(JSON.parse(readFileSync(join(dir, 'mapping.json'), 'utf8'))).toEqual(DOCUMENT);
  });

  it('is in force once it has taken the place of the old one, also when its folder cannot be synced', () => {
    const dir = tempDir();
    const book = opened(dir);
    const failing = vi.spyOn(fs, 'fsyncSync');
    syncBuiltinESMExports();
    onTestFinished(() => {
      failing.mockRestore();
      syncBuiltinESMExports();
    });
    failing
      .mockImplementationOnce(() => undefined)
      .mockImplementationOnce(() => {
        throw Object.assign(new Error('EIO: i/o error, fsync'), { code: 'EIO' });
      });
    book.save(parsed());
    expect(failing).toHaveBeenCalledTimes(2);
    expect(book.current().document).toEqual(DOCUMENT);
    expect(JSON.parse(readFileSync(join(dir, 'mapping.json'), 'utf8'))).toEqual(DOCUMENT);
  });

  it('leaves nothing beside it when it cannot take the place of the old one', () => {
    const dir = tempDir();
    const book = opened(dir);
    mkdirSync(join(dir, 'mapping.json')); // a folder cannot be replaced by a file
    expect(() => book.save(parsed())).toThrow();
    expect(readdirSync(dir)).toEqual(['mapping.json']);
    expect(book.current().filePath).toBeNull();
  });
});
