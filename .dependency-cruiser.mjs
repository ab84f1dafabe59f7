// core <- domain <- verbs <- api <- book <- {store, formats, imaging, solver, server, cli} <- main. The client and the
// page see core, domain, verbs and api. Type-only imports count.
const pureRooms = ['domain', 'verbs', 'api', 'book'];
const shells = ['store', 'formats', 'imaging', 'solver', 'server', 'cli'];
const numericPackages = ['colorjs.io', 'ml-matrix'];
// Rooms of core from the ground up: each sees those before it.
const coreRooms = [
  'numeric',
  'colour',
  'optics',
  'verdict',
  'nearest',
  'clay',
  'mixes',
  'notation',
  'search',
  'belief',
  'trial',
  'find',
  'ladder',
  'mend',
  'piles',
  'buying',
  'range',
  'figure',
  'photo',
  'strength',
  'oven',
  'share',
];

/** @type {import('dependency-cruiser').IConfiguration} */
export default {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'core-imports-only-core',
      severity: 'error',
      from: { path: '^src/core/', pathNot: '\\.test\\.ts$' },
      to: { path: '^(src/(?!core/)|test/|bench/|tools/)' },
    },
    {
      name: 'core-takes-only-numeric-packages',
      severity: 'error',
      from: { path: '^src/core/', pathNot: '\\.test\\.ts$' },
      to: {
        dependencyTypes: ['npm', 'npm-dev', 'npm-optional', 'npm-no-pkg', 'core'],
        pathNot: `node_modules/(${numericPackages.join('|')})/`,
      },
    },
    ...coreRooms.map((room, i) => ({
      name: `core-${room}-sees-what-it-stands-on`,
      severity: 'error',
      from: { path: `^src/core/${room}/`, pathNot: '\\.test\\.ts$' },
      to: {
        path: `^src/core/(?!${[...coreRooms.slice(0, i), room].join('/|')}/|(errors|in-a-row|sentence-start)\\.ts$)`,
      },
    })),
    ...pureRooms.map((room, i) => ({
      name: `${room}-sees-what-it-stands-on`,
      severity: 'error',
      from: { path: `^src/${room}/`, pathNot: '\\.test\\.ts$' },
      to: { path: `^src/(?!core/|${[...pureRooms.slice(0, i), room].join('/|')}/)` },
    })),
    ...shells.map((room) => ({
      name: `${room}-imports-no-neighbour`,
      severity: 'error',
      from: { path: `^src/${room}/`, pathNot: '\\.test\\.ts$' },
      to: { path: `^src/(?!core/|${pureRooms.join('/|')}/|${room}/)` },
    })),
    {
      name: 'client-sees-the-api',
      severity: 'error',
      from: { path: '^src/client/', pathNot: '\\.test\\.ts$' },
      to: { path: '^src/(?!core/|domain/|verbs/|api/|client/)' },
    },
    {
      name: 'web-sees-the-pure-rooms-and-the-client',
      severity: 'error',
      from: { path: '^src/web/', pathNot: '\\.test\\.tsx?$' },
      to: { path: '^src/(?!core/|domain/|verbs/|api/|client/|solver/|web/)' },
    },
    {
      name: 'nothing-imports-web',
      severity: 'error',
      from: { path: '^src/(?!web/)' },
      to: { path: '^src/web/' },
    },
    {
      name: 'nothing-imports-main',
      severity: 'error',
      from: { path: '^src/(?!main/)' },
      to: { path: '^src/main/' },
    },
    {
      name: 'product-imports-no-tests',
      severity: 'error',
      from: { path: '^src/', pathNot: '\\.test\\.ts$' },
      to: { path: '(^(test|bench|tools)/|\\.test\\.ts$)' },
    },
    {
      name: 'no-undeclared-package',
      severity: 'error',
      from: { path: '^src/', pathNot: '\\.test\\.ts$' },
      to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown', 'npm-dev'] },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
    tsConfig: { fileName: 'tsconfig.json' },
  },
};
