const LEAF = ['^server/contract/', '^server/ports\\.ts$'];
const PURE = '^server/(?:contract|estimate|safety|alarms|plan|review)/';
const rule = (name, comment, from, to) => ({ name, comment, severity: 'error', from, to });

module.exports = {
  forbidden: [
    rule('no-circular', 'A cycle hides which module owns the state.', {}, { circular: true }),
    rule(
      'contract-is-the-leaf',
      'Everyone imports the contract; it imports nobody but zod.',
      { path: '^server/contract/' },
      { pathNot: ['^server/contract/', '^node_modules/zod/'] },
    ),
    rule(
      'pure-stays-pure',
      'No Node built-in, no npm package but zod, no adapter: numbers in, verdict out.',
      { path: PURE },
      { pathNot: [PURE, '^server/ports\\.ts$', '^node_modules/zod/'] },
    ),
    rule(
      'safety-judges-measurements',
      'A projection may add a warning; it must never be able to clear an alarm.',
      { path: '^server/safety/' },
      { path: '^server/(?:estimate|alarms|plan|review)/' },
    ),
    rule(
      'alarms-see-verdicts-only',
      'Alarms are told what safety found; how it was found is not their business.',
      { path: '^server/alarms/' },
      { path: '^server/(?:estimate|plan|review)/' },
    ),
    rule(
      'plan-stands-alone',
      'The timetable takes durations as arguments, so that it can be tested without the estimator.',
      { path: '^server/plan/' },
      { path: '^server/(?:estimate|safety|alarms|review)/' },
    ),
    rule(
      'estimate-stands-alone',
      'The estimator must be testable against published answers alone.',
      { path: '^server/estimate/' },
      { path: '^server/(?:safety|alarms|plan|review)/' },
    ),
    rule(
      'adapters-do-not-meet',
      'MQTT, SQLite, HTTP and sockets are wired in main.ts, not in each other.',
      { path: '^server/(broker|ingest|store|live|api)/' },
      {
        path: '^server/',
        pathNot: [...LEAF, '^server/$1/', '^server/(?:config|clock|log)\\.ts$'],
      },
    ),
    rule(
      'runtime-sees-ports-only',
      'The tick is driven in tests with fakes; it may not know the adapters.',
      { path: '^server/runtime/' },
      { path: '^server/(?:broker|ingest|store|live|api|main|demo)' },
    ),
    rule(
      'web-sees-contract-only',
      'The browser knows the wire contract and nothing else of the server.',
      { path: '^web/' },
      { path: '^(?:server|simulator|test)/', pathNot: '^server/contract/' },
    ),
    rule(
      'simulator-sees-contract-only',
      'A demo built from the estimator would prove nothing about it.',
      { path: '^simulator/' },
      { path: '^(?:server|web|test)/', pathNot: '^server/contract/' },
    ),
    rule(
      'one-owner-per-driver',
      'better-sqlite3 in store, mqtt and cborg in ingest, aedes in broker, socket.io in live, express in api.',
      { path: '^server/', pathNot: '^server/(?:store|broker|ingest|live|api)/|^server/main\\.ts$' },
      { path: '^node_modules/(?:better-sqlite3|mqtt|cborg|aedes|socket\\.io|express)/' },
    ),
    rule(
      'nobody-imports-tests',
      'Fixtures that production needs belong in production.',
      { pathNot: '^(?:test/|vitest\\.config\\.ts$)' },
      { path: '^test/' },
    ),
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
  },
};
