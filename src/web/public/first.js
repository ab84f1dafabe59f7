// Runs before anything is painted; one file, as the page waits for each.

// The chosen theme, before anything is painted, so that a dark page does not flash white. The rest of the
// look is in look/look.ts.
try {
  const { frame, surround } = JSON.parse(localStorage.getItem('kneadwell look') ?? '{}');
  const { dataset } = document.documentElement;
  if (frame === 'light' || frame === 'dark') dataset.frame = frame;
  if (surround === 'light' || surround === 'dark') dataset.surround = surround;
} catch {
  // Without storage the page shows all the same.
}

// Fetches the scripts of the screen in the address together with those of the page. The build writes the
// list of them into the page.
{
  const written = document.querySelector('meta[name="kneadwell-screens"]');
  const [files, screens] = JSON.parse(written.content);
  const here = location.pathname.split('/').filter(Boolean);
  const fits = ([pattern]) => {
    const parts = pattern.split('/').filter(Boolean);
    return (
      parts.length === here.length &&
      parts.every((part, i) => part.startsWith('$') || part === here[i])
    );
  };
  for (const place of screens.find(fits)?.[1] ?? []) {
    const file = files[place];
    const link = document.createElement('link');
    link.crossOrigin = '';
    link.href = file;
    if (file.endsWith('.css')) {
      link.rel = 'preload';
      link.as = 'style';
    } else link.rel = 'modulepreload';
    document.head.append(link);
  }
}
