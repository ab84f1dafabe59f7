import fc from 'fast-check';

// Drawn tests draw the same in every run, so that a failing one fails for who made it; a test that
// names a seed of its own keeps it.
fc.configureGlobal({ seed: 20261125 });
