import { isCborTooDeep, MAX_DEPTH } from '../json-depth.ts';
import { rejectOf, type Decoded, type Failure, type Message } from '../message.ts';
import { senmlFromCbor } from '../senml-cbor.ts';
import { readSenml } from '../senml-readings.ts';
import type { ReadyRule } from './rule-set.ts';
import { sensorNameOf } from './sensor-name.ts';

/** A SenML pack on a topic of a rule; the rule's sensor, if it has one, is that of records without a name. */
export function fromSenmlJson(pack: unknown, message: Message, ready: ReadyRule): Decoded {
  const decoded: Decoded = { readings: [], sides: [], unplugged: [], rejects: [] };
  const fail = (failure: Failure): Decoded => ({ ...decoded, rejects: [rejectOf(failure, message)] });
  if (!Array.isArray(pack)) return fail({ reason: 'bad-senml', detail: 'a SenML pack is an array' });
  const name = ready.rule.sensor ? sensorNameOf(ready, message, { root: null, member: null }) : null;
  if (name?.ok === false) return fail({ reason: 'bad-name', detail: name.detail });
  const { readings, sides, failures } = readSenml(pack, message, name?.sensorId ?? null);
  return { ...decoded, readings, sides, rejects: failures.map((failure) => rejectOf(failure, message)) };
}

/** The same in CBOR. */
export function fromSenmlCbor(message: Message, ready: ReadyRule): Decoded {
  const fail = (failure: Failure): Decoded => ({
    readings: [],
    sides: [],
    unplugged: [],
    rejects: [rejectOf(failure, message)],
  });
  if (isCborTooDeep(message.payload))
    return fail({ reason: 'too-deep', detail: `nested more than ${MAX_DEPTH} deep` });
  const cbor = senmlFromCbor(message.payload);
  if ('refusal' in cbor) return fail({ reason: 'bad-senml', detail: cbor.refusal });
  return fromSenmlJson(cbor.pack, message, ready);
}
