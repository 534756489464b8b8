/** Where checks and corrections of a probe are sent to and read from. */
export function probePath(sensorId: string, what: 'checks' | 'corrections'): string {
  return `/api/sensors/${encodeURIComponent(sensorId)}/${what}`;
}
