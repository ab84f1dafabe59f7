import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import '@fontsource-variable/vollkorn/wght.css';
import './look/tokens.css';
import './look/base.css';
import './look/frame.css';
import './look/forms.css';
import './look/parts.css';
import './look/tile.css';
import './look/access.css';
import { QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { idleLater } from './book/idle.ts';
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
// Colour names and the offline copy are large, so that they load after the first screen. Where Kneadwell was
// stopped meanwhile, names stay rough.
idleLater()
  .then(() => Promise.all([fetchColourNames(), enableOffline()]))
  .catch(() => {});
