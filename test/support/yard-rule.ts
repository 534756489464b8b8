/** A rule of the mapping: bare numbers in Fahrenheit, the sensor named in the topic. */
export const RULE = {
  id: 'yard',
  filter: 'yard/+',
  format: 'number',
  sensor: { from: 'topic', level: 1 },
  values: [{ quantity: 'temperature', unit: 'degF' }],
};
export const DOCUMENT = { version: 1, rules: [RULE] };
