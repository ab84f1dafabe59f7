// How she likes the page, before anything is painted: a dark page must not come up white first. The rest of
// the look is in look/look.ts, which takes from here what is chosen.
try {
  const { frame, surround } = JSON.parse(localStorage.getItem('kneadwell look') ?? '{}');
  const { dataset } = document.documentElement;
  if (frame === 'light' || frame === 'dark') dataset.frame = frame;
  if (surround === 'light' || surround === 'dark') dataset.surround = surround;
} catch {
  // A browser that keeps nothing shows the page all the same.
}
