const ZERO_C_IN_K = 273.15; // exact by definition of the degree Celsius, SI Brochure 9th ed. (2019)

/**
 * Degrees Celsius of a temperature. Exact: NIST SP 811 (2008) B.8 for Fahrenheit, SI Brochure 9th ed. (2019) for kelvin.
 *
 * @param value  in `unit`
 * @param unit  Cel, degF or K; upper and lower case matter, because in SenML `C` is a coulomb and `F` a farad
 * @returns degC, or null for any other unit
 */
export function celsiusOf(value: number, unit: string): number | null {
  switch (unit) {
    case 'Cel':
      return value;
    case 'K':
      return value - ZERO_C_IN_K;
    case 'degF':
      return (value - 32) / 1.8;
    default:
      return null;
  }
}
