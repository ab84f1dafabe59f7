import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import '@fontsource-variable/vollkorn/wght.css';
import './look/tokens.css';
import './look/base.css';
import './look/frame.css';
import './look/forms.css';
import './look/parts.css';
import './look/tile.css';
import './look/pieces.css';
import './look/access.css';
import { QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { queries } from './book/queries.ts';
import { fetchColourNames } from './colour/spoken-colour.ts';
import { enableOffline } from './offline/offline-registration.ts';
import { router } from './router.tsx';

createRoot(document.getElementById('page')!).render(
  <StrictMode>
    <QueryClientProvider client={queries}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </StrictMode>,
);
// Names of colours weigh more than a screen; they come when it stands, and so does what keeps the page.
const whenItStands = () => {
  void fetchColourNames();
  void enableOffline();
};
globalThis.requestIdleCallback?.(whenItStands) ?? setTimeout(whenItStands, 800);
