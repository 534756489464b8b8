import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { CookoutDetail } from '../../../server/contract/api.ts';
import { PageHead } from '../../page-head.tsx';
import { navigate, route } from '../../router.ts';
import { clockNowMs } from '../../state.ts';
import { checkPlan } from './check-list.ts';
import { CheckSection } from './check-section.tsx';
import { DishesSection } from './dishes-section.tsx';
import { OccasionForm, StartForm } from './occasion-form.tsx';
import { PlacesSection } from './places-section.tsx';
import { usePlan } from './plan-data.ts';
import type { PlanData } from './plan-data.ts';
import '../../styles/forms.css';
import '../../styles/cards.css';

const SECTIONS = ['occasion', 'places', 'dishes', 'check'] as const;
type SectionName = (typeof SECTIONS)[number];

/** A plan that has dishes opens with its check list, a bare one where dishes are added. */
function sectionName(asked: string | null, detail: CookoutDetail): SectionName {
  return SECTIONS.find((name) => name === asked) ?? (detail.dishes.length === 0 ? 'dishes' : 'check');
}

function sectionWords(name: SectionName, detail: CookoutDetail, { sensors }: PlanData): string {
  switch (name) {
    case 'occasion':
      return 'Occasion';
    case 'places':
      return `Places ${detail.places.length}`;
    case 'dishes':
      return `Dishes ${detail.dishes.length}`;
    case 'check':
      return `Check ${checkPlan(detail, sensors, clockNowMs()).length}`;
  }
}

function nextOf(name: SectionName): { href: string; words: string } {
  switch (name) {
    case 'occasion':
      return { href: '#/plan/places', words: 'Next: places' };
    case 'places':
      return { href: '#/plan/dishes', words: 'Next: dishes' };
    case 'dishes':
      return { href: '#/plan/check', words: 'Next: check' };
    case 'check':
      return { href: '#/', words: 'To the live screen' };
  }
}

function Section({
  name,
  detail,
  data,
}: {
  name: SectionName;
  detail: CookoutDetail;
  data: PlanData;
}): JSX.Element {
  const { sensors, reload } = data;
  switch (name) {
    case 'occasion':
      return <OccasionForm cookout={detail.cookout} onSaved={() => void reload()} />;
    case 'places':
      return <PlacesSection detail={detail} sensors={sensors} reload={reload} />;
    case 'dishes':
      return <DishesSection detail={detail} sensors={sensors} reload={reload} />;
    case 'check':
      return <CheckSection detail={detail} sensors={sensors} />;
  }
}

function Plan({ detail, data }: { detail: CookoutDetail; data: PlanData }): JSX.Element {
  const asked = route.value.name === 'plan' ? route.value.section : null;
  const name = sectionName(asked, detail);
  const next = nextOf(name);
  useEffect(() => scrollTo(0, 0), [name]);
  return (
    <>
      <nav class="pg-sections" aria-label="Parts of the plan">
        {SECTIONS.map((section) => (
          <a key={section} href={`#/plan/${section}`} aria-current={section === name ? 'page' : undefined}>
            {sectionWords(section, detail, data)}
          </a>
        ))}
      </nav>
      <Section key={name} name={name} detail={detail} data={data} />
      <a class="pg-next" href={next.href}>
        {next.words}
      </a>
    </>
  );
}

function Body({ data, say }: { data: PlanData; say: (notice: string | null) => void }): JSX.Element {
  switch (data.plan.kind) {
    case 'loading':
      return <p role="status">Reading the plan</p>;
    case 'failed':
      return (
        <>
          <p class="pg-trouble" role="alert">
            {data.plan.problem.title}
          </p>
          <button type="button" onClick={() => void data.reload()}>
            Try again
          </button>
        </>
      );
    case 'none':
      return (
        <StartForm
          onStarted={(missing) => {
            say(missing);
            navigate('/plan/dishes');
            void data.reload();
          }}
        />
      );
    case 'ready':
      return <Plan detail={data.plan.detail} data={data} />;
  }
}

export function PlanView(): JSX.Element {
  const data = usePlan();
  const [notice, say] = useState<string | null>(null);
  const name = data.plan.kind === 'ready' ? { note: data.plan.detail.cookout.name } : {};
  const stale = data.plan.kind === 'ready' ? data.staleProblem : null;
  return (
    <div class="pg-page">
      <PageHead title="Plan" {...name} />
      <main class="pg-column">
        {notice === null ? null : (
          <p class="pg-trouble" role="alert">
            {notice}
          </p>
        )}
        {stale === null ? null : (
          <p class="pg-trouble" role="alert">
            {stale.title}. What is shown may be out of date.
          </p>
        )}
        <Body data={data} say={say} />
      </main>
    </div>
  );
}
