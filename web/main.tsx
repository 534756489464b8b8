import { render } from 'preact';
import { App } from './app.tsx';
import { connect } from './connection.ts';
import { applyStoredMode } from './mode.ts';
import { startRouter } from './router.ts';
import './styles/tokens.css';
import './styles/over.css';

const root = document.getElementById('app');
if (root === null) throw new Error('index.html has no element with the id "app"');
applyStoredMode();
startRouter();
connect();
render(<App />, root);
