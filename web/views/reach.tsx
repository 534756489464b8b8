import type { JSX } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { AccessSchema, LoginSchema, PASSPHRASE_MIN } from '../../server/contract/api.ts';
import type { Access, PassphraseSchema, Problem } from '../../server/contract/api.ts';
import { api, problemText } from '../api-client.ts';
import { check } from '../form/check.ts';
import { TextField } from '../form/fields.tsx';
import { FormFrame } from '../form/form-frame.tsx';
import { useForm } from '../form/use-form.ts';
import { PageHead } from '../page-head.tsx';
import { navigate } from '../router.ts';
import { checkPassphrase } from './passphrase-draft.ts';
import type { PassphraseDraft } from './passphrase-draft.ts';
import '../styles/forms.css';

// A passphrase is not kept when the view is left.
const keptLogin = new Map<string, { passphrase: string }>();
const keptPassphrase = new Map<string, PassphraseDraft>();

async function post(path: string, body: unknown): Promise<Problem | null> {
  const answer = await api('POST', path, z.unknown(), body);
  return answer.ok ? null : answer.problem;
}

/** The title of the refusal says it all: "That is not the passphrase". */
function loginProblem(problem: Problem): Problem {
  if (problem.status !== 403) return problem;
  return { ...problem, errors: [{ field: 'passphrase', message: `${problem.title}.` }] };
}

function LoginForm({ onOpen }: { onOpen: () => void }): JSX.Element {
  const form = useForm({
    kept: keptLogin,
    key: 'login',
    initial: () => ({ passphrase: '' }),
    fields: () => ['passphrase'],
    check: (draft) => check({ schema: LoginSchema, candidate: draft, messages: { passphrase: 'Too long.' } }),
    save: async (input) => {
      const problem = await post('/api/access/login', input);
      if (problem === null) onOpen();
      return problem === null ? null : loginProblem(problem);
    },
  });
  useEffect(() => () => keptLogin.clear(), []);
  return (
    <FormFrame form={form} title="The passphrase, please" saveWords="Open Tongside" isSecret>
      <TextField
        label="Passphrase"
        type="password"
        autoComplete="current-password"
        value={form.draft.passphrase}
        error={form.errors['passphrase']}
        onText={(passphrase) => form.set({ passphrase })}
      />
    </FormFrame>
  );
}

function SetForm({ isSet, onSet }: { isSet: boolean; onSet: () => void }): JSX.Element {
  const form = useForm({
    kept: keptPassphrase,
    key: 'set',
    initial: () => ({ passphrase: '', again: '' }),
    fields: () => ['passphrase', 'again'],
    check: checkPassphrase,
    save: async (input: z.infer<typeof PassphraseSchema>) => {
      const problem = await post('/api/access/passphrase', input);
      if (problem === null) onSet();
      return problem;
    },
  });
  useEffect(() => () => keptPassphrase.clear(), []);
  return (
    <FormFrame
      form={form}
      title={isSet ? 'Change the passphrase' : 'Set a passphrase'}
      saveWords={isSet ? 'Change it' : 'Set it'}
      isSecret
    >
      <TextField
        label="Passphrase"
        hint={`At least ${String(PASSPHRASE_MIN)} letters. Four words that do not belong together are good.`}
        type="password"
        autoComplete="new-password"
        value={form.draft.passphrase}
        error={form.errors['passphrase']}
        onText={(passphrase) => form.set({ passphrase })}
      />
      <TextField
        label="The same again"
        type="password"
        autoComplete="new-password"
        value={form.draft.again}
        error={form.errors['again']}
        onText={(again) => form.set({ again })}
      />
    </FormFrame>
  );
}

function HowToReach({ access }: { access: Access }): JSX.Element {
  if (!access.loopbackOnly)
    return <p>Tongside answers on the network. Every screen that opens it must give the passphrase first.</p>;
  return (
    <>
      <p>
        Now only this machine can open Tongside, and no passphrase is asked. A tablet at the grill cannot
        reach it yet.
      </p>
      <h2>To reach it from a tablet</h2>
      <ol>
        <li>{access.passphraseSet ? 'A passphrase is set.' : 'Set a passphrase, below.'}</li>
        <li>
          Find the address of this machine on your own network, something like <code>192.168.1.20</code>.
        </li>
        <li>
          Stop Tongside and start it again with{' '}
          <code>
            TONGSIDE_BIND=192.168.1.20 TONGSIDE_BROKER_USER=probe TONGSIDE_BROKER_PASSWORD=… npm start
          </code>
          . The last two are a user and password of your choice for the probes. Without them, or without a
          passphrase, it refuses.
        </li>
        <li>
          On the tablet open <code>http://192.168.1.20:{location.port === '' ? '80' : location.port}</code>{' '}
          and give the passphrase.
        </li>
      </ol>
      <p>Do this on a network of your own. What is said between tablet and server is not encrypted.</p>
    </>
  );
}

function Open({ access, ask }: { access: Access; ask: () => Promise<void> }): JSX.Element {
  const [done, setDone] = useState<string | null>(null);
  const leave = async (): Promise<void> => {
    const problem = await post('/api/access/logout', {});
    setDone(problem === null ? null : problemText(problem));
    await ask();
  };
  return (
    <>
      <HowToReach access={access} />
      <p role="status">{done}</p>
      <SetForm
        key={String(access.passphraseSet)}
        isSet={access.passphraseSet}
        onSet={() => {
          setDone('The passphrase is set. Screens that were open with an old one must give it again.');
          void ask();
        }}
      />
      {access.loopbackOnly ? null : (
        <button type="button" onClick={() => void leave()}>
          Close Tongside on this screen
        </button>
      )}
    </>
  );
}

type ReachState =
  { kind: 'loading' } | { kind: 'failed'; problem: Problem } | { kind: 'ready'; access: Access };

export function ReachView(): JSX.Element {
  const [state, setState] = useState<ReachState>({ kind: 'loading' });
  const ask = useCallback(async () => {
    const answer = await api('GET', '/api/access', AccessSchema);
    setState(
      answer.ok ? { kind: 'ready', access: answer.value } : { kind: 'failed', problem: answer.problem },
    );
  }, []);
  useEffect(() => void ask(), [ask]);
  const opened = (): void => {
    // The link was refused before; a fresh page opens it again with the session.
    navigate('/');
    location.reload();
  };
  return (
    <div class="pg-page">
      <PageHead title="Reach" />
      <main class="pg-column">
        {state.kind === 'loading' ? <p role="status">Asking the server</p> : null}
        {state.kind === 'failed' ? (
          <p class="pg-trouble" role="alert">
            {state.problem.title}
          </p>
        ) : null}
        {state.kind === 'ready' && state.access.open ? <Open access={state.access} ask={ask} /> : null}
        {state.kind === 'ready' && !state.access.open ? <LoginForm onOpen={opened} /> : null}
      </main>
    </div>
  );
}
