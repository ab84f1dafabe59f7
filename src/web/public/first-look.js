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
