import {
  createRootRoute,
  createRoute,
  createRouter,
  Link,
  lazyRouteComponent,
  redirect,
} from '@tanstack/react-router';
import { useEffect, useRef } from 'react';
import { AppError } from '../core/errors.ts';
import { wordsOf } from './book/change.ts';
import { fetchClayFileEarly } from './book/clay-file.ts';
import { coloursQuery } from './book/colours.ts';
import { useConnection } from './book/connection.ts';
import { gramsOnHand } from './book/grams-on-hand.ts';
import { fetchEarly, queries } from './book/queries.ts';
import type { AimInAddress } from './colour/lab-in-address.ts';
import { Frame } from './frame.tsx';
import { EmptyState } from './parts/empty-state.tsx';
import { questionFrom } from './screens/book/question.ts';
import { recipeFromSearch } from './screens/mixing/recipe-in-address.ts';
import { Pair } from './screens/pair.tsx';
import { stockQuestionFrom } from './screens/stock/stock-question.ts';
import { tilesQuestionFrom } from './screens/tiles/tiles-question.ts';
import { startWorkers } from './workers/clay-worker-client.ts';

const ToStart = () => (
  <Link className="button" data-kind="main" to="/">
    Go to Start
  </Link>
);

const root = createRootRoute({
  component: Frame,
  errorComponent: NotShown,
  notFoundComponent: () => (
    <EmptyState whole title="Page not found" actions={<ToStart />}>
      There is no page at this address. Your book is not affected.
    </EmptyState>
  ),
});

/** A device that is not paired yet is asked for its code, on any screen. */
function NotShown({ error, reset }: { readonly error: unknown; readonly reset: () => void }) {
  const { state } = useConnection();
  const away = error instanceof AppError && error.code === 'server-away';
  const waited = useRef(false);
  useEffect(() => {
    if (state !== 'open') waited.current = true;
    // The book answers again, so that the screen can be shown.
    else if (away && waited.current) reset();
  }, [state, away, reset]);
  if (error instanceof AppError && error.code === 'not-paired') {
    return <Pair />;
  }
  return (
    <EmptyState
      whole
      title="Something went wrong on this page"
      actions={<a href="/">Go to Start</a>}
    >
      {wordsOf(error)}
    </EmptyState>
  );
}

/** What another screen hands to Find. */
interface FindInAddress extends AimInAddress {
  /** The block whose colour it is. */
  readonly block?: string;
  /** How the colour is chosen at first. */
  readonly way?: 'picture';
}

/** The mix a screen is about, or a colour. */
interface LumpInAddress extends AimInAddress {
  readonly mix?: string;
}

const textsFrom =
  <K extends string>(...keys: readonly K[]) =>
  (said: Record<string, unknown>): { readonly [P in K]?: string } =>
    Object.fromEntries(
      keys.flatMap((key) => (typeof said[key] === 'string' ? [[key, said[key]]] : [])),
    ) as { readonly [P in K]?: string };
const lumpFrom: (said: Record<string, unknown>) => LumpInAddress = textsFrom(
  'mix',
  'aim',
  'called',
);
/** A mix, and what its recipe for other clays is to keep to: a block left out, a line, less of a type of clay. */
const othersFrom = textsFrom('mix', 'palette', 'without', 'least', 'share', 'less');
/** The block of which a new lot differs. */
const blockFrom = textsFrom('block');
/** Both ends of a row of steps: `block ID`, `mix ID`, `white` ... */
const stepsFrom = textsFrom('from', 'to');

/** The line of a chart or of two piles, `grid` for a chart of a few clays, `all` for the piles of all lines. */
const lineFrom = textsFrom('line');

/** What clays are opened from, fetched while the script of the screen loads. */
function fetchClays(): void {
  // Their scripts load beside those of the screen.
  startWorkers();
  fetchBlocks();
  // Whoever opens the clays reports what is wrong.
  fetchClayFileEarly().catch(() => {});
}

/** The blocks with their colours and what is left of each. */
function fetchBlocks(): void {
  fetchEarly('block', 'line', 'settings', 'purchase');
  void queries.prefetchQuery(coloursQuery());
  void queries.prefetchQuery(gramsOnHand);
}

const screens = [
  createRoute({
    getParentRoute: () => root,
    path: '/',
    loader: fetchBlocks,
    component: lazyRouteComponent(() => import('./screens/start.tsx'), 'Start'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/find',
    validateSearch: ({ aim, called, block, way }: Record<string, unknown>): FindInAddress => ({
      ...(typeof aim === 'string' ? { aim } : {}),
      ...(typeof called === 'string' ? { called } : {}),
      ...(typeof block === 'string' ? { block } : {}),
      ...(way === 'picture' ? { way } : {}),
    }),
    loader: () => {
      fetchClays();
      fetchEarly('palette');
    },
    component: lazyRouteComponent(() => import('./screens/find.tsx'), 'Find'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/book',
    validateSearch: questionFrom,
    loader: () => fetchEarly('block', 'line', 'box', 'settings'),
    component: lazyRouteComponent(() => import('./screens/book.tsx'), 'BookScreen'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/book/write',
    component: lazyRouteComponent(() => import('./screens/import-notes.tsx'), 'ImportNotes'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/book/$id',
    validateSearch: ({ tile }: Record<string, unknown>): { readonly tile?: 'new' } =>
      tile === 'new' ? { tile } : {},
    component: lazyRouteComponent(() => import('./screens/mix-page.tsx'), 'MixPage'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/book/$id/mixing',
    component: lazyRouteComponent(() => import('./screens/mixing.tsx'), 'Mixing'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/mixing',
    validateSearch: recipeFromSearch,
    component: lazyRouteComponent(() => import('./screens/mixing.tsx'), 'MixingNow'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/mend',
    validateSearch: lumpFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/mending.tsx'), 'Mending'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/try',
    validateSearch: lumpFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/test-balls.tsx'), 'TestBalls'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/even-steps',
    validateSearch: stepsFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/even-steps.tsx'), 'EvenSteps'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/charts',
    validateSearch: lineFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/charts.tsx'), 'Charts'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/buy-or-mix',
    validateSearch: lineFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/piles.tsx'), 'PilesScreen'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/buying',
    validateSearch: textsFrom('for'),
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/buying.tsx'), 'Buying'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/wishes',
    loader: () => {
      fetchClays();
      fetchEarly('wish', 'palette');
    },
    component: lazyRouteComponent(() => import('./screens/wishes.tsx'), 'WishList'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/figures/$id',
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/figure.tsx'), 'Figure'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/other-clays',
    validateSearch: othersFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/other-clays.tsx'), 'OtherClays'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/new-lot',
    validateSearch: blockFrom,
    loader: fetchClays,
    component: lazyRouteComponent(() => import('./screens/new-lot.tsx'), 'NewLot'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/share',
    validateSearch: textsFrom('mix'),
    loader: () => fetchEarly('settings', 'palette'),
    component: lazyRouteComponent(() => import('./screens/share.tsx'), 'ShareRecipes'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/stock',
    validateSearch: stockQuestionFrom,
    component: lazyRouteComponent(() => import('./screens/stock.tsx'), 'Stock'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/bend-tests',
    loader: () => fetchEarly('bend-test', 'line'),
    component: lazyRouteComponent(() => import('./screens/bend-tests.tsx'), 'BendTests'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/bake',
    loader: () => fetchEarly('oven-check', 'line', 'settings'),
    component: lazyRouteComponent(() => import('./screens/bake-plan.tsx'), 'BakePlanScreen'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/tiles',
    validateSearch: tilesQuestionFrom,
    component: lazyRouteComponent(() => import('./screens/tiles.tsx'), 'Tiles'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/tiles/photo',
    component: lazyRouteComponent(() => import('./screens/photo-tiles.tsx'), 'PhotoTiles'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/tiles/$id',
    component: lazyRouteComponent(() => import('./screens/tile-page.tsx'), 'TilePage'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/photos/$id',
    component: lazyRouteComponent(() => import('./screens/saved-photo.tsx'), 'SavedPhoto'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/colour-range',
    component: lazyRouteComponent(() => import('./screens/gamut.tsx'), 'ColourRange'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/clay-model',
    component: lazyRouteComponent(() => import('./screens/clay-model.tsx'), 'ClayModelScreen'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/settings',
    component: lazyRouteComponent(() => import('./screens/settings.tsx'), 'Settings'),
  }),
  createRoute({
    getParentRoute: () => root,
    path: '/settings/$page',
    component: lazyRouteComponent(() => import('./screens/settings.tsx'), 'Settings'),
  }),
];

/** Addresses of earlier versions, which bookmarks still hold. */
const moved = (
  [
    ['/seek', '/find'],
    ['/reach', '/colour-range'],
    ['/learn', '/clay-model'],
  ] as const
).map(([path, to]) =>
  createRoute({
    getParentRoute: () => root,
    path,
    beforeLoad: ({ search }) => {
      throw redirect({ to, search, replace: true });
    },
  }),
);

export const router = createRouter({
  routeTree: root.addChildren([...screens, ...moved]),
  defaultPreload: 'intent',
  defaultErrorComponent: NotShown,
});

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
