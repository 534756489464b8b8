import type { ComponentChildren, JSX } from 'preact';
import type { SensorView } from '../../../server/contract/probe.ts';
import { clockText } from '../../format/clock.ts';
import { agoText } from '../../format/duration.ts';
import { degText } from '../../format/temperature.ts';
import { probeNews, qualityText } from '../../probe-words.ts';

type NewestProps = { sensor: SensorView; timeZone: string };

/** The newest value, large while it is live; what is old, impossible or not there never looks live. */
export function NewestValue({ sensor, timeZone }: NewestProps): JSX.Element {
  const news = probeNews(sensor);
  const quality = qualityText(sensor);
  switch (news.kind) {
    case 'live':
      return (
        <>
          <p class="pg-newest">
            <b>{degText(news.tempC)}</b> {agoText(news.ageMs)}
          </p>
          {quality === null ? null : <p class="pr-quality">{quality}</p>}
        </>
      );
    case 'old':
      return (
        <Lost>
          silent, last <s>{degText(news.tempC)}</s> {agoText(news.ageMs)}
        </Lost>
      );
    case 'ahead':
      return <Lost>its clock is ahead of ours, so nobody can tell how old this is</Lost>;
    case 'never':
      return <Lost>never heard</Lost>;
    case 'kept':
      return (
        <Lost>
          old value from the broker, <s>{degText(news.tempC)}</s>: nobody can tell when it was measured
        </Lost>
      );
    case 'unusable':
      return (
        <Lost>
          sent <s>{degText(news.tempC)}</s> {agoText(news.ageMs)}
          {quality === null ? '' : `, ${quality}`}
        </Lost>
      );
    case 'unplugged':
      return <Lost>nothing plugged in since {clockText(news.sinceMs, timeZone)}</Lost>;
  }
}

function Lost({ children }: { children: ComponentChildren }): JSX.Element {
  return (
    <p class="pg-newest pg-lost">
      <b>?</b> {children}
    </p>
  );
}
