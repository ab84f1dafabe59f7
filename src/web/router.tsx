import {
  createRootRoute,
  createRoute,
  createRouter,
  Link,
  lazyRouteComponent,
} from '@tanstack/react-router';
import { wordsOf } from './book/change.ts';
import { Frame } from './frame.tsx';
import { EmptyState } from './parts/empty-state.tsx';

const root = createRootRoute({
  component: Frame,
  errorComponent: ({ error }) => (
    <EmptyState title="This screen could not be shown" doings={<a href="/">To the start</a>}>
      {wordsOf(error)}
    </EmptyState>
  ),
  notFoundComponent: () => (
    <EmptyState title="Nothing lies here" doings={<Link to="/">To the start</Link>}>
      This address leads to no screen. The book itself is untouched.
    </EmptyState>
  ),
});

const screens = [
  createRoute({
    getParentRoute: () => root,
    path: '/workshop',
    component: lazyRouteComponent(() => import('./screens/workshop.tsx'), 'Workshop'),
  }),
];

export const router = createRouter({
  routeTree: root.addChildren(screens),
  defaultPreload: 'intent',
});

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
