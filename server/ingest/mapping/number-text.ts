// after the digits only the point can begin more of them: two ways to read the same digits would make a long text slow
const NUMBER = /^[+-]?(\d+(?:\.\d*)?|\.\d+)([eE][+-]?\d+)?$/;
const WITH_COMMA = /^[+-]?(\d+(?:,\d*)?|,\d+)([eE][+-]?\d+)?$/;

/**
 * The number that a whole text is, blanks around it aside. Nothing is guessed: "63abc" is no number, and with a decimal
 * comma "1.234" is none either, because it may mean a thousand and more.
 *
 * @returns the number, or null; also null for one that is too large to be a number
 */
export function numberOfText(text: string, decimal: '.' | ','): number | null {
  const trimmed = text.trim();
  const isNumber = (decimal === '.' ? NUMBER : WITH_COMMA).test(trimmed);
  if (!isNumber) return null;
  const number = Number(decimal === '.' ? trimmed : trimmed.replace(',', '.'));
  return Number.isFinite(number) ? number : null;
}
